"""How long inspections took by the clock, those that somebody or something interrupted left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from wizard.domain.vocabulary import RunStatus
from wizard.engine.messages import events as ev
from wizard.engine.state.fold import follow
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.review.step_times import Watch

LONGEST_STILL = 600.0
"""Seconds between two events within a run from which on somebody is taken to have done something else."""
INTERRUPTS = (ev.Paused, ev.Widened, ev.TakenOver, ev.VisitBegan, ev.Stopped)
"""Events after which the clock of a run that is open says nothing of the work."""


@dataclass(frozen=True, slots=True)
class RunSeconds:
    """A run of an inspection from its first step to its end without an interruption, and its seconds on screen."""

    inspection: str
    seconds: float


def run_seconds(view: JobView, records: Sequence[ev.Recorded]) -> tuple[RunSeconds, ...]:
    """Return the seconds of each run of a job that was done and not interrupted; of steps asked for others nothing.

    Left out: a run with a pause, a lapse, another person or visit, a stop, a step longer on the screen than its own
    minutes and ten more, or one that was left and resumed.
    """
    now, watch, broken = view.at(State()), Watch(), set[int]()
    for record in records:
        broken |= set(_interrupted(now, record))
        watch.take(now.state, record)
        now = now.at(follow(now.state, record, view.flow.conditions)[0])
    seconds: dict[int, float] = {}
    for step in watch.steps:
        seconds[step.run] = seconds.get(step.run, 0.0) + step.seconds
    done = (r for r in now.state.runs if r.how is RunStatus.DONE and not r.only and not r.resumed)
    return tuple(
        RunSeconds(run.inspection, seconds[run.id])
        for run in done
        if run.id in seconds and run.id not in broken and run.inspection in view.flow.inspections
    )


def _interrupted(view: JobView, record: ev.Recorded) -> Iterable[int]:
    """The runs open when this event came whose clock is worth nothing from then on."""
    if isinstance(record.event, INTERRUPTS):
        return view.state.stack
    run = view.state.run
    inspection = view.flow.inspections.get(run.inspection) if run is not None else None
    step = inspection.step(run.at) if run is not None and inspection is not None else None
    most = LONGEST_STILL + (step.minutes * 60.0 if step is not None else 0.0)
    return view.state.stack if record.since > most else ()
