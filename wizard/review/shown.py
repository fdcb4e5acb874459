"""What stood on the screen at a moment of a session, in the words of the flow of that day; no screen is needed."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine import closing, derive
from wizard.engine.state import State
from wizard.flow.model import Caution, Flow, Inspection, Step
from wizard.review import words

_NEW = "The session is about to begin"


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that could be given."""

    id: str
    says: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What was on the screen. ``kind`` is new, fact, complaint, map, lapsed, tell, look, choose, measure, compute,
    stopped or closed.

    ``number`` of ``count`` is the step's place in its inspection, 0 where there is none. ``lines`` are further lines:
    what has to be made safe. ``unit`` and ``limit`` (bands in words, with their source) are those of a reading.
    """

    kind: str
    title: str
    do: str = ""
    expect: str = ""
    inspection: str = ""
    step: str = ""
    phase: str = ""
    number: int = 0
    count: int = 0
    caution: tuple[Caution, ...] = ()
    choices: tuple[Choice, ...] = ()
    lines: tuple[str, ...] = ()
    drawing: str = ""
    unit: str = ""
    limit: str = ""

    @property
    def where(self) -> str:
        """``inspection.step``, or empty."""
        return f"{self.inspection}.{self.step}" if self.step else self.inspection


def shown(flow: Flow, state: State) -> Shown:
    """What the technician had on the screen in this state."""
    if state.job == "new":
        return Shown("new", _NEW)
    if state.job == "stopped":
        return _stopped(flow, state)
    if state.job == "closed":
        return Shown("closed", f"Closed: {words.OUTCOMES.get(state.outcome, state.outcome)}")
    if facts := derive.open_facts(flow, state):
        return _fact(flow, facts[0])
    if not state.complaint:
        return Shown("complaint", "Complaint", "What does the customer say, in their own words?")
    run = state.run
    inspection = flow.inspections.get(run.inspection) if run else None
    if run is None or inspection is None:
        return Shown("map", "Job map", _next(flow, state))
    step = inspection.step(run.at)
    if step is None:
        return Shown("map", inspection.title, _next(flow, state), inspection=inspection.id)
    if not derive.ready(flow, state):
        return Shown("lapsed", inspection.title, _needs(inspection), inspection=inspection.id, step=step.id)
    return _step(flow, state, inspection, step, run.phase)


def _next(flow: Flow, state: State) -> str:
    return words.sentence(f"Next: {closing.describe(flow, derive.next_up(flow, state))}")


def _needs(inspection: Inspection) -> str:
    states = " or ".join(words.SAFETY.get(s, s) for s in inspection.states)
    return f"The gate is asked again before this goes on: it needs the machine {states}."


def _stopped(flow: Flow, state: State) -> Shown:
    halt = state.halt
    stop = flow.stops.get(halt.stop) if halt else None
    if stop is None:
        return Shown("stopped", "Work stopped", halt.words if halt else "")
    return Shown(
        "stopped", words.sentence(stop.says), f"Call: {words.sentence(stop.call)}", lines=stop.make_safe
    )


def _fact(flow: Flow, fact_id: str) -> Shown:
    fact = flow.fact(fact_id)
    assert fact is not None
    return Shown("fact", "Machine", fact.ask, choices=tuple(Choice(v.id, v.says) for v in fact.values))


def _step(flow: Flow, state: State, inspection: Inspection, step: Step, phase: str) -> Shown:
    limit = _limit(flow, state, step)
    measured = step.kind in ("measure", "compute")
    return Shown(
        step.kind,
        inspection.title,
        step.do,
        step.expect,
        inspection.id,
        step.id,
        phase,
        number=inspection.steps.index(step) + 1,
        count=len(inspection.steps),
        caution=(*inspection.caution, *step.caution),
        choices=() if measured else tuple(Choice(a.id, a.says or a.id) for a in step.answers),
        drawing=step.drawing,
        unit=step.reading.unit if step.reading else "",
        limit=limit,
    )


def _limit(flow: Flow, state: State, step: Step) -> str:
    """The bands and their source as they were used then."""
    from wizard.engine.judging import limit_of

    limit = limit_of(flow, state, step)
    return f"{words.bands(limit)}. {words.sentence(words.source(limit))}" if limit else ""
