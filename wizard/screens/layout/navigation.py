"""Which scene a job is at: one pure function from a view and the place on the job map."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import JobState, NextKind, StepKind
from wizard.engine.queries import machine_queries, next_queries
from wizard.engine.queries.standing_stops import standing
from wizard.engine.state.job_view import JobView
from wizard.screens.layout.scene_kind import SceneKind

BY_KIND = {
    StepKind.MEASURE: SceneKind.READING,
    StepKind.COMPUTE: SceneKind.COMPUTED,
    StepKind.RECORD: SceneKind.RECORDED,
}


@dataclass(frozen=True, slots=True)
class MapPlace:
    """Where the technician went by a key while no inspection is open: map, decision, repair, handover, fact.

    ``target`` is the fault to repair, or the fact asked again. It is no part of the job and is never written down.
    """

    kind: SceneKind = SceneKind.MAP
    target: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """What to show. ``target`` is a fact or a fault."""

    kind: SceneKind
    target: str = ""


def _stopped_before(view: JobView) -> bool:
    """Whether the map leads to the end of a stop before any fact is asked; not where that is a fact asked anew."""
    if machine_queries.latched(view):
        return True
    return bool(standing(view)) and next_queries.next_up(view).kind is not NextKind.FACT


def scene(view: JobView, place: MapPlace = MapPlace()) -> Scene:
    """The scene of a job: its end, what machine it is, the step on screen, else the place chosen by a key."""
    flow, state = view.flow, view.state
    if state.job in (JobState.STOPPED, JobState.CLOSED):
        return Scene(SceneKind(state.job))
    if place.kind is SceneKind.FACT and flow.fact(place.target) is not None:
        return Scene(SceneKind.FACT, place.target)
    if state.run is None and not _stopped_before(view):
        if facts := next_queries.open_facts(view):
            return Scene(SceneKind.FACT, facts[0])
        if not state.complaint:
            return Scene(SceneKind.COMPLAINT)
    if state.run is None:
        return Scene(SceneKind.REPAIR, state.goal) if state.goal else Scene(place.kind, place.target)
    step = flow.inspections[state.run.inspection].step(state.run.at)
    return Scene(BY_KIND.get(step.kind, SceneKind.QUESTION) if step else SceneKind.MAP)
