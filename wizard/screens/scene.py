"""Which scene a job is at: one pure function from flow, state and the place on the job map."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine import derive
from wizard.engine.state import State
from wizard.flow.model import Flow

BY_KIND = {"measure": "reading", "compute": "computed"}


@dataclass(frozen=True, slots=True)
class Place:
    """Where the technician went by a key while no inspection is open: map, decision, mending, handover, fact.

    ``target`` is the fault to mend, or the fact asked again. It is no part of the job and is never written down.
    """

    kind: str = "map"
    target: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """What to show. ``kind`` names a screen of ``registry.SCREENS``; ``target`` a fact or a fault."""

    kind: str
    target: str = ""


def scene(flow: Flow, state: State, place: Place = Place()) -> Scene:
    """The scene of a job: its end, what machine it is, the step on screen, else the place chosen by a key."""
    if state.job in ("stopped", "closed"):
        return Scene(state.job)
    if place.kind == "fact" and flow.fact(place.target) is not None:
        return Scene("fact", place.target)
    if facts := derive.open_facts(flow, state):
        return Scene("fact", facts[0])
    if not state.complaint:
        return Scene("complaint")
    if state.run is None:
        return Scene(place.kind, place.target)
    if not derive.ready(flow, state):
        return Scene("lapsed")
    step = flow.inspections[state.run.inspection].step(state.run.at)
    return Scene(BY_KIND.get(step.kind, "question") if step else "map")
