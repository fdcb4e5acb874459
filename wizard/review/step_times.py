"""Time spent on each step while it stood on the screen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Phase
from wizard.engine.messages import events as ev
from wizard.engine.state.job_state import State


@dataclass(frozen=True, slots=True)
class StepTime:
    """One answer of a step and the seconds that it stood on the screen for it.

    ``began`` and ``ended`` are the first and the last event of it; ``how`` and ``kind`` as in the answer.
    """

    run: int
    inspection: str
    step: str
    phase: Phase
    how: AnswerHow
    began: int
    ended: int
    at: str
    seconds: float

    @property
    def ref(self) -> StepRef:
        """The step."""
        return StepRef(self.inspection, self.step)


class Watch:
    """Adds up seconds as events go by: the time since the event before belongs to the step then on screen."""

    def __init__(self) -> None:
        self.steps: list[StepTime] = []
        self._open: dict[tuple[int, str], tuple[int, float]] = {}

    def take(self, before: State, record: ev.Recorded) -> None:
        """Note one event, with the state that it met."""
        run = before.run
        if run is not None and run.at:
            began, seconds = self._open.get((run.id, run.at), (record.seq, 0.0))
            self._open[run.id, run.at] = (began, seconds + record.since)
        event = record.event
        if isinstance(event, ev.Answered) and not event.instead_of:
            self._close(before, record, event)

    def _close(self, before: State, record: ev.Recorded, event: ev.Answered) -> None:
        run = before.find_run(event.run)
        began, seconds = self._open.pop((event.run, event.step), (record.seq, 0.0))
        if run is None:
            return
        self.steps.append(
            StepTime(
                run.id, run.inspection, event.step, run.phase, event.how, began, record.seq,
                record.at, round(seconds, 3),
            )
        )  # fmt: skip


def wall_gap(earlier: str, later: str) -> float:
    """Seconds of wall time from one journal's time to another; negative where the clock ran backwards.

    ValueError if one of them is no time, or has no zone.
    """
    try:
        return (datetime.fromisoformat(later) - datetime.fromisoformat(earlier)).total_seconds()
    except TypeError as problem:
        raise ValueError(f"{later!r} and {earlier!r} are not both times with a zone") from problem
