"""Jobs of one person that overlap: at work in two sessions at the same time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, select

from wizard.archive.across.crossing import MOST, Crossing, CrossingKind
from wizard.archive.archive_tables import session, stretch
from wizard.review.durations import clock

LEAST = 120
"""Seconds from which an overlap counts: clocks of two computers may differ by less."""


KEPT = 10 * MOST
"""So many overlaps are kept at a time: where there are more the shorter ones go."""


@dataclass(frozen=True, slots=True)
class WorkTime:
    """Somebody at work in a session: seconds since 1970."""

    person: str
    session: str
    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class OverlapFound:
    """Two stretches of one person, the one that began first before the other, and the seconds that they share."""

    first: WorkTime
    second: WorkTime
    seconds: int


def overlapping(times: Iterable[WorkTime], least: int = LEAST) -> Iterator[OverlapFound]:
    """Every pair of stretches of one person in two sessions that share so many seconds at least.

    ``times`` come by their begin, as they are swept once. A person is a name, in any case.
    """
    people: dict[str, list[WorkTime]] = {}
    for time in times:
        person = time.person.casefold()
        running = [one for one in people.get(person, ()) if one.end - time.begin >= least]
        for one in running:
            shared = min(one.end, time.end) - time.begin
            if one.session != time.session and shared >= least:
                yield OverlapFound(one, time, shared)
        people[person] = [*running, time]


def overlaps(db: Connection) -> Iterator[Crossing]:
    """Overlaps, the longest first; of two sessions the longest alone."""
    asked = select(stretch.c.person, session.c.session, stretch.c.begin, stretch.c.end)
    asked = asked.join(session, session.c.number == stretch.c.number).order_by(stretch.c.begin)
    asked = asked.execution_options(yield_per=2_000)  # A row at a time, as many as there may be.
    longest: dict[tuple[str, str], OverlapFound] = {}
    for found in overlapping(WorkTime(*row) for row in db.execute(asked)):
        pair = min(found.first.session, found.second.session), max(found.first.session, found.second.session)
        if pair not in longest or longest[pair].seconds < found.seconds:
            longest[pair] = found
        if len(longest) > KEPT:
            longest = dict(sorted(longest.items(), key=lambda one: -one[1].seconds)[: KEPT // 2])
    for pair, found in sorted(longest.items(), key=lambda one: (-one[1].seconds, one[0])):
        yield Crossing(
            CrossingKind.OVERLAP,
            pair,
            2,
            f"{found.first.person} was at work in {pair[0]} and in {pair[1]} at the same time, for "
            f"{clock(found.seconds)}.",
            f"By the clocks of their computers: {found.first.session} {_span(found.first)}, {found.second.session} "
            f"{_span(found.second)}, UTC. "
            "Nobody paused for over 5 min in either.",
        )


_START = datetime(1970, 1, 1, tzinfo=UTC)


def _span(time: WorkTime) -> str:
    begin, end = (_START + timedelta(seconds=at) for at in (time.begin, time.end))
    return f"{begin:%Y-%m-%d %H:%M} to {end:%H:%M}"
