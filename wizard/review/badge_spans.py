"""What was known of the machine along the time line of a session, in the words of the badge."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wizard.engine.messages import events as ev
from wizard.engine.queries.machine_view import Badge


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the time line with one badge: its words, whether power may be on, and whether work is stopped.

    ``seconds`` is working time: breaks of the program left out.
    """

    words: tuple[str, ...]
    live: bool
    stopped: bool
    first: int
    last: int
    at: str
    seconds: float


def spans(records: Iterable[ev.Recorded], badges: Iterable[Badge]) -> tuple[Span, ...]:
    """The badges along the time line; every event lies in just one span. ``badges``: as each event left the
    machine.
    """
    found: list[Span] = []
    for record, badge in zip(records, badges, strict=True):
        now = (badge.words, badge.live, badge.stopped)
        last = found[-1] if found else None
        if last is not None and now == (last.words, last.live, last.stopped):
            seconds = round(last.seconds + record.since, 3)
            found[-1] = Span(*now, last.first, record.seq, last.at, seconds)
        else:
            found.append(Span(*now, record.seq, record.seq, record.at, record.since))
    return tuple(found)
