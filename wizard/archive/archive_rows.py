"""Rows of the index written, forgotten and found by their numbers, within one transaction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, delete, func, select, update

from wizard.archive.archive_tables import (
    TRACES,
    about,
    judged,
    kept_file,
    named,
    reading_row,
    session,
    stretch,
    tag,
    tally,
)
from wizard.archive.full_text import FullText
from wizard.archive.machine_plate import day_number, plate
from wizard.archive.session_facts import SessionFacts, SessionTag, TagKind, clean
from wizard.archive.tally_kinds import SessionTally
from wizard.archive.traces.session_traces import SessionTraces

if TYPE_CHECKING:
    from wizard.sessions.judged_flags import JudgedFlag

AT_ONCE = 500
"""So many sessions are named in one statement."""


def values(fingerprint: str, facts: SessionFacts) -> dict[str, object]:
    """The row of a session."""
    kept = asdict(facts)
    del kept["tags"], kept["words"], kept["judged"], kept["traces"]
    own = {
        "plate": plate(facts.maker, facts.serial),
        "newest": newest_key(facts.day, facts.session),
        "day_number": day_number(facts.day),
        "end_number": day_number(facts.ended) or day_number(facts.day),
        "earlier": clean(facts.traces.earlier),
        "earlier_seal": clean(facts.traces.earlier_seal),
    }
    return {**kept, **own, "standing": facts.standing.value, "fingerprint": fingerprint}


def newest_key(day: str, name: str) -> str:
    """What a session is sorted by: its day, then the longer id, then the id, as ids of one day run on."""
    return f"{day} {len(name):02d} {name}"


def note(db: Connection, name: str, value: str) -> None:
    """Write down something about the index itself."""
    db.execute(delete(about).where(about.c.name == name))
    db.execute(about.insert().values(name=name, value=value))


def noted(db: Connection, name: str) -> str:
    """What was written down last; empty where nothing was."""
    return db.scalar(select(about.c.value).where(about.c.name == name)) or ""


def take_stock(db: Connection, text: FullText) -> None:
    """Have the database count what its tables hold, by which it chooses its ways: where the sessions are some hundreds,
    and more than twice as many as when it did last.
    """
    now = db.scalar(select(func.count()).select_from(session)) or 0
    if now > 2 * int(noted(db, "stock") or 0) + AT_ONCE:
        text.take_stock(db)
        note(db, "stock", str(now))


def numbers(db: Connection, names: Sequence[str]) -> dict[str, int]:
    """The number of each session that is here."""
    found: dict[str, int] = {}
    for at in range(0, len(names), AT_ONCE):
        some = session.c.session.in_(names[at : at + AT_ONCE])
        for row in db.execute(select(session.c.session, session.c.number).where(some)):
            found[row[0]] = row[1]
    return found


def forget(db: Connection, text: FullText, names: Sequence[str]) -> None:
    """Take sessions out, with their tags and words."""
    gone = list(numbers(db, names).values())
    text.remove(db, gone)
    for at in range(0, len(gone), AT_ONCE):
        db.execute(delete(tag).where(tag.c.number.in_(gone[at : at + AT_ONCE])))
        db.execute(delete(tally).where(tally.c.number.in_(gone[at : at + AT_ONCE])))
        db.execute(delete(judged).where(judged.c.number.in_(gone[at : at + AT_ONCE])))
        for table in TRACES:
            db.execute(delete(table).where(table.c.number.in_(gone[at : at + AT_ONCE])))
        db.execute(delete(session).where(session.c.number.in_(gone[at : at + AT_ONCE])))


def look_again(db: Connection, some: Sequence[int]) -> None:
    """Forget what a closer look found of sessions, by their numbers."""
    blank = {"looked": 0, "risk": 0, "reasons": "", "wrong": ""}
    for at in range(0, len(some), AT_ONCE):
        these = some[at : at + AT_ONCE]
        db.execute(delete(tag).where(tag.c.kind == TagKind.FLAG.value, tag.c.number.in_(these)))
        db.execute(delete(tally).where(tally.c.number.in_(these)))
        db.execute(update(session).where(session.c.number.in_(these)).values(**blank))


def look_after(db: Connection, changed: Sequence[str]) -> None:
    """Have sessions looked at again that name one of those which changed as the one before them: whether that still has
    the seal that they name is part of their verification.
    """
    for at in range(0, len(changed), AT_ONCE):
        named_by = select(session.c.number).where(session.c.earlier.in_(changed[at : at + AT_ONCE]))
        look_again(db, db.scalars(named_by.where(session.c.looked == 1)).all())


def compare_anew(db: Connection, ledgers: str, named: frozenset[str] | None) -> None:
    """Have sessions looked at again, since the ledgers are others now: those that are ``named``, with what lies beside
    one of them under its name; or all. ``ledgers``: their state, which is noted.
    """
    every = db.execute(select(session.c.number, session.c.session)).all()
    look_again(db, [n for n, name in every if named is None or {name, name.rpartition("-")[0]} & named])
    note(db, "ledgers", ledgers)


def vouched(db: Connection) -> dict[str, str]:
    """The sessions that verified when they were looked at, each with the digest of what its folder held then."""
    sound = (session.c.looked == 1, session.c.wrong == "", session.c.trouble == "", session.c.digest != "")
    return {row[0]: row[1] for row in db.execute(select(session.c.session, session.c.digest).where(*sound))}


def add_tags(db: Connection, tags: Sequence[tuple[int, SessionTag]]) -> None:
    """Keep tags, each with the number of its session."""
    if tags:
        db.execute(tag.insert(), [{"number": n, "kind": t.kind.value, "value": t.value} for n, t in tags])


def add_traces(db: Connection, of: Sequence[tuple[int, SessionTraces]]) -> None:
    """Keep what sessions leave that can be met again, each with the number of its session."""
    for table, name in ((kept_file, "files"), (reading_row, "rows"), (stretch, "stretches")):
        rows = [{"number": number, **_cleaned(one)} for number, left in of for one in getattr(left, name)]
        if rows:
            db.execute(table.insert(), rows)


def _cleaned(one: Any) -> dict[str, object]:
    """The columns of one: texts clean, and yes and no as numbers, which one of the databases does not make of them."""
    return {
        key: clean(value) if isinstance(value, str) else int(value) if isinstance(value, bool) else value
        for key, value in asdict(one).items()
    }


def add_judged(db: Connection, said: Sequence[tuple[int, JudgedFlag]]) -> None:
    """Keep what was said of flags, each with the number of its session."""
    if said:
        rows = [
            {"number": n, "rule": one.rule, "event": one.event, "fair": int(one.fair), "measure": one.measure}
            for n, one in said
        ]
        db.execute(judged.insert(), rows)


def add_tallies(db: Connection, tallies: Sequence[tuple[int, SessionTally]]) -> None:
    """Keep tallies, each with the number of its session; what these sessions said before is forgotten."""
    numbers = sorted({number for number, _one in tallies})
    for at in range(0, len(numbers), AT_ONCE):
        db.execute(delete(tally).where(tally.c.number.in_(numbers[at : at + AT_ONCE])))
    if not tallies:
        return
    ids = _named(db, {one.name for _number, one in tallies})
    rows = [
        {"kind": one.kind.value, "name": ids[one.name], "number": number, "hit": int(one.hit),
         "amount": one.amount, "own": one.own}
        for number, one in tallies
    ]  # fmt: skip
    db.execute(tally.insert(), rows)


def _named(db: Connection, wanted: set[str]) -> dict[str, int]:
    """The numbers of names, those that are new among them."""
    found = {row.name: row.id for row in db.execute(select(named.c.id, named.c.name))}
    if fresh := sorted(wanted - found.keys()):
        db.execute(named.insert(), [{"name": name} for name in fresh])
        found = {row.name: row.id for row in db.execute(select(named.c.id, named.c.name))}
    return found


def flags_of(db: Connection, some: Sequence[int]) -> Mapping[int, tuple[str, ...]]:
    """The flags of sessions, by their numbers."""
    found: dict[int, tuple[str, ...]] = {}
    for at in range(0, len(some), AT_ONCE):
        these = tag.c.number.in_(some[at : at + AT_ONCE])
        asked = select(tag.c.number, tag.c.value).where(tag.c.kind == TagKind.FLAG.value, these)
        for row in db.execute(asked):
            found[row[0]] = (*found.get(row[0], ()), row[1])
    return {number: tuple(sorted(values)) for number, values in found.items()}
