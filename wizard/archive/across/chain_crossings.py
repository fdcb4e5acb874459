"""The sessions of one computer as links: one that is named and isn't here, one that two name as the one before them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sqlalchemy import Connection, func, select

from wizard.archive.across.crossing import MOST, SHOWN, Crossing, CrossingKind
from wizard.archive.archive_tables import session
from wizard.journal.earlier_session import begun_last
from wizard.journal.home_folder import Home
from wizard.sessions.verifying.earlier_check import away_words


def gone(db: Connection) -> Iterator[Crossing]:
    """Sessions that name one that isn't here, the newest first."""
    other = session.alias("other")
    there = select(other.c.number).where(other.c.session == session.c.earlier).exists()
    asked = select(session.c.session, session.c.earlier, session.c.earlier_seal)
    asked = asked.where(session.c.earlier != "", ~there).order_by(session.c.newest.desc()).limit(MOST)
    for name, earlier, seal in db.execute(asked):
        yield Crossing(CrossingKind.GONE, (name,), 1, *away_words(name, earlier, seal))


def last_gone(home: Home) -> tuple[Crossing, ...]:
    """That the session which was begun last on this computer isn't here: no other one names it yet."""
    name = begun_last(home)
    if not name or name in home.list_ids():
        return ()
    says = f"The session that was begun last on this computer isn't here: {name}."
    return (
        Crossing(CrossingKind.GONE, (), 1, says, "The home says that it was begun; its folder was removed."),
    )


def doubled(db: Connection) -> Iterator[Crossing]:
    """Sessions that name the same one before them."""
    named = select(session.c.earlier).where(session.c.earlier != "").group_by(session.c.earlier)
    for earlier in db.scalars(named.having(func.count() > 1).order_by(session.c.earlier).limit(MOST)).all():
        asked = select(session.c.session).where(session.c.earlier == earlier).order_by(session.c.newest)
        names = tuple(db.scalars(asked))
        yield Crossing(
            CrossingKind.DOUBLED,
            names[:SHOWN],
            len(names),
            f"{len(names)} sessions name the same one before them: {earlier}.",
            f"{named_words(names)}. A computer begins one after the other: a session or a home was copied, or the "
            "program was ended as one began.",
        )


def named_words(names: Sequence[str]) -> str:
    """'2026-11-25-a, 2026-11-26-b and 3 more'."""
    more = len(names) - SHOWN
    return f"{', '.join(names[:SHOWN])}{f' and {more} more' if more > 0 else ''}"
