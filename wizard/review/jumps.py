"""What a reviewer can go to in a session, and at which of its events that is."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum, unique
from functools import partial
from typing import TYPE_CHECKING

from wizard.domain.vocabulary import Verdict
from wizard.engine.handlers.transaction import Moment
from wizard.engine.handling import handle
from wizard.engine.messages import events as ev
from wizard.review.guarded import attempt
from wizard.review.step_times import wall_gap

if TYPE_CHECKING:
    from wizard.review.replay import Replay

LONG = 300.0
"""Seconds from which on a pause is one that can be gone to; where none is that long, the longest can."""


@unique
class Jump(StrEnum):
    """What a reviewer can go to, forward and back. ``REFUSED``: what was tried and not done, as far as the record has
    it: after nobody had been seen for long, since any other refusal writes nothing.
    """

    EVENT = "event"
    INSPECTION = "inspection"
    ANSWER = "answer"
    SAFETY = "safety"
    CORRECTION = "correction"
    VISIT = "visit"
    NOT_PASSED = "not-passed"
    DECISION = "decision"
    REPAIR = "repair"
    PHOTO = "photo"
    NOTE = "note"
    PAUSE = "pause"
    REFUSED = "refused"


def jump_places(replay: Replay, kind: Jump) -> tuple[int, ...]:
    """The places of a kind, in order; looked for once."""
    if kind not in replay.kept_places:
        replay.kept_places[kind] = _places(replay, kind)
    return replay.kept_places[kind]


def _places(replay: Replay, kind: Jump) -> tuple[int, ...]:
    if kind is Jump.CORRECTION:
        return tuple(replay.place_of(change.seq) for change in replay.changes)
    if kind is Jump.PAUSE:
        return long_pauses(replay.records)
    if kind is Jump.REFUSED:
        return tuple(refusals(replay))
    return tuple(place for place in range(1, len(replay) + 1) if _is(replay, place, kind))


def _is(replay: Replay, place: int, kind: Jump) -> bool:
    event = replay.records[place - 1].event
    match kind:
        case Jump.SAFETY:
            return place > 1 and replay.badges[place - 1].words != replay.badges[place - 2].words
        case Jump.NOT_PASSED:
            return isinstance(event, ev.Answered) and event.verdict in (Verdict.FAIL, Verdict.WATCH)
        case _:
            return isinstance(event, _CLASSES[kind])


_CLASSES: dict[Jump, type[ev.Event]] = {
    Jump.EVENT: ev.Event,
    Jump.INSPECTION: ev.Entered,
    Jump.ANSWER: ev.Answered,
    Jump.VISIT: ev.VisitBegan,
    Jump.DECISION: ev.Decided,
    Jump.REPAIR: ev.RepairDone,
    Jump.PHOTO: ev.PhotoTaken,
    Jump.NOTE: ev.NoteTaken,
}


def pause_before(records: Sequence[ev.Recorded], place: int) -> float:
    """Seconds between the event of a place and the one before it, by the clock that saw more: only one goes on while
    the program is closed. 0 before the first.
    """
    if place < 2:
        return 0.0
    earlier, later = records[place - 2], records[place - 1]
    try:
        return max(later.since, wall_gap(earlier.at, later.at))
    except ValueError:
        return later.since


def long_pauses(records: Sequence[ev.Recorded]) -> tuple[int, ...]:
    """The places that came after a long pause, in order; the one after the longest where none was long."""
    pauses = {place: pause_before(records, place) for place in range(2, len(records) + 1)}
    found = tuple(place for place, seconds in pauses.items() if seconds >= LONG)
    return found or tuple(
        place for place in sorted(pauses, key=lambda p: -pauses[p])[:1] if pauses[place] > 0.0
    )


def longest_pause(records: Sequence[ev.Recorded]) -> int:
    """The place that came after the longest pause; 0 where there was none."""
    return max(long_pauses(records), key=lambda place: pause_before(records, place), default=0)


def refusals(replay: Replay) -> dict[int, str]:
    """What was tried and refused, by the place of the first event that came of it, in the words of the refusal;
    looked for once.

    What was asked is decided again. Of a command that was refused there are events only where a lapse was found first.
    """
    if replay.kept_refusals is None:
        found: dict[int, str] = {}
        for place, record in enumerate(replay.records, 1):
            if record.asked is not None and isinstance(record.event, ev.Widened):
                says, _trouble = attempt(partial(_refused, replay, place), "")
                if says:
                    found[place] = says
        replay.kept_refusals = found
    return replay.kept_refusals


def _refused(replay: Replay, place: int) -> str:
    record = replay.records[place - 1]
    assert record.asked is not None
    asked = record.asked
    moment = Moment(record.at, record.since, asked.idle, asked.backwards, asked.gap)
    handled = handle(replay.view(place - 1), asked.command, moment)
    return str(handled.refused) if handled.refused is not None else ""
