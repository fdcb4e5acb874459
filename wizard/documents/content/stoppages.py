"""Stops of work: each with its make-safe lines, with what became of what it latched, and with who cleared it."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import JobOutcome, JobState
from wizard.engine.queries import machine_queries, stopped
from wizard.engine.queries.standing_stops import by_gravity, standing
from wizard.engine.state.job_state import ReleaseRecord, Stoppage
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Stop


@dataclass(frozen=True, slots=True)
class StopInForce:
    """One stop. ``releases``: of each thing it latched, the first after it. ``standing``: what nobody released."""

    stoppage: Stoppage
    stop: Stop
    releases: tuple[ReleaseRecord, ...] = ()
    standing: tuple[str, ...] = ()

    @property
    def cleared(self) -> bool:
        """True where all that it latched was released since."""
        return bool(self.releases) and not self.standing


def stoppages(view: JobView) -> tuple[StopInForce, ...]:
    """The stops that hold now, the gravest first, those of earlier visits that nobody cleared among them; none where
    work goes on.
    """
    state = view.state
    over = state.job is JobState.CLOSED and state.outcome is JobOutcome.STOPPED
    if not over and state.job is not JobState.STOPPED:
        return ()
    now = {h.stop for h in state.stops}
    before = {h.stop: h for h in standing(view) if h.stop not in now}
    return _of(view, by_gravity(view.flow, (*state.stops, *before.values())))


def all_stoppages(view: JobView) -> tuple[StopInForce, ...]:
    """Every stop of the job, also of earlier visits."""
    return _of(view, view.state.stoppages)


def _of(view: JobView, stoppages: tuple[Stoppage, ...]) -> tuple[StopInForce, ...]:
    latched = machine_queries.latched(view) if stoppages else ()
    return tuple(_stoppage(view, h, latched) for h in stoppages if h.stop in view.flow.stops)


def _stoppage(view: JobView, stoppage: Stoppage, latched: tuple[str, ...]) -> StopInForce:
    stop = view.flow.stops[stoppage.stop]
    latches = stopped.latches(view, stoppage)
    after = (r for r in view.state.releases if r.condition in latches and r.seq > stoppage.seq)
    first = {r.condition: r for r in sorted(after, key=lambda r: -r.seq)}
    standing = tuple(c for c in latches if c in latched and c not in first)
    return StopInForce(stoppage, stop, tuple(first.values()), standing)
