"""A session whose journal was damaged, read for looking at: all that its seals hold, and what is missing in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from wizard.engine.messages.events import Began, Recorded, from_dict, records_of
from wizard.engine.state.fold import follow
from wizard.engine.state.job_state import State
from wizard.errors import UNSOUND, JournalError, SteadfootError, unsound_words
from wizard.flow.loading.flow_loader import Known, load_kept
from wizard.flow.model import Flow
from wizard.journal.durable_io import load
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME, transfer_damage
from wizard.journal.journal_salvage import JournalDamage, salvaged
from wizard.journal.sealed_block import START
from wizard.sessions.session_handle import Loaded, kept_flow, last_seal
from wizard.sessions.verifying.damaged_end import UNTOLD, may_have_closed

_DIGEST = re.compile(rb'digest = "([0-9a-f]{64})"')


def load_damaged(home: Home, known: Known, name: str) -> Loaded:
    """Read a session up to its damage and past it; a whole one as ever.

    JournalError where nothing of it can be read, or neither its first event nor what is left of that names a flow that
    is kept here.
    """
    path = home.session_folder(name) / NAME
    data = load(path)
    found = salvaged(data)
    if not found.events:
        what = transfer_damage(data) or "nothing in it is sealed as this program does"
        raise JournalError(f"{path}: {what}. Restore the file from a copy.")
    records, chains, unread = _records(found.events, found.chains, f"Session {name}")
    flow = load_kept(_flow_files(home, name, records, found.damage), known)
    state, trouble = _followed(flow, records)
    strange = bool(found.damage) and found.damage[-1].whole
    broken = strange or bool(unread) or any(not part.end for part in found.damage)
    damage = (*(part.text for part in found.damage), *unread)
    damage += (UNTOLD,) if strange and may_have_closed(found.damage[-1].raw) else ()
    damage += ((STANDS if broken else SET_ASIDE),) if damage else ()
    last = found.chains[-1] if found.chains else START
    torn = len(found.damage[-1].raw) if found.damage and found.damage[-1].end else 0
    seal = last_seal(records, chains)
    return Loaded(name, flow, records, state, last, torn, trouble, seal, damage, broken, strange)


def _records(
    tables: Sequence[Mapping[str, Any]], chains: Sequence[str], name: str
) -> tuple[tuple[Recorded, ...], tuple[str, ...], tuple[str, ...]]:
    """The events with their chain values; and a sentence on each whose seal holds over something of another format."""
    if tables[0].get("kind") == Began.kind:
        records_of(tables[:1], name)  # A journal of another format is refused as ever.
    found, kept, unread = [], [], []
    for table, chain in zip(tables, chains, strict=True):
        try:
            found.append(from_dict(table))
        except JournalError as problem:
            unread.append(str(problem))
        else:
            kept.append(chain)
    return tuple(found), tuple(kept), tuple(unread)


def _flow_files(
    home: Home, name: str, records: tuple[Recorded, ...], damage: Sequence[JournalDamage]
) -> Mapping[str, bytes]:
    """The files of the flow: that of the first event, or where that is damaged, one that what is left of it names."""
    if records and isinstance(records[0].event, Began):
        return kept_flow(home, name, records)
    digests = [m[1].decode("ascii") for one in damage for m in _DIGEST.finditer(one.raw)]
    for digest in dict.fromkeys(digests):
        try:
            return home.kept_files(digest)
        except SteadfootError:
            continue  # The next one may be that which wasn't altered.
    raise JournalError(
        f"Session {name}: its first event is damaged, and what is left of it names no flow that is kept here. "
        "Restore the journal from a copy."
    )


def _followed(flow: Flow, records: tuple[Recorded, ...]) -> tuple[State, tuple[str, ...]]:
    """The state that the events make, as far as they can be followed without those that are missing."""
    state, troubles = State(), list[str]()
    for record in records:
        try:
            state, trouble = follow(state, record, flow.conditions)
        except UNSOUND as problem:
            words = unsound_words(problem).rstrip(".")
            trouble = f"Event {record.seq} can't be followed without what is missing before it{words}."
        troubles += [trouble] if trouble else []
    return state, tuple(troubles)


STANDS = (
    "What is shown is as it was sealed, but what was made of it lacks what is missing. Verify the session, and restore "
    "its journal from a copy."
)
SET_ASIDE = "As the session is taken up again, these bytes are set aside."


def damage_lines(damage: Iterable[str]) -> Iterator[str]:
    """What no seal holds, a line each, and what that means; none where the record is whole."""
    found = tuple(damage)
    if found:
        yield "Damaged"
        yield from (f"  {part}" for part in found)


def refuse_broken(loaded: Loaded) -> None:
    """JournalError where a session that was shown, or sent, is damaged: so that whoever goes by the exit code knows."""
    if loaded.broken:
        raise JournalError(
            f"Session {loaded.name} is damaged: all that its seals hold is there, and what is missing is said with it. "
            "Verify it, and restore its journal from a copy."
        )
