"""What stood on the screen at a moment of a session, in the words of the flow of that day; no screen is needed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.documents.papers.job_header import result_words
from wizard.documents.text import formatting, limit_text
from wizard.domain.references import DrawingRef, StepRef, Target
from wizard.domain.vocabulary import JobState, Phase
from wizard.engine.handlers import visit_end
from wizard.engine.queries import machine_queries, next_queries
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Caution, Fault, Flow, Inspection, JudgedStep, Step, reading_of
from wizard.flow.model.kind_drawing import drawn_for

_NEW = "The session is about to begin"


@dataclass(frozen=True, slots=True)
class AnswerChoice:
    """One answer that could be given."""

    id: str
    says: str


@unique
class SnapshotKind(StrEnum):
    """What a screen was: of the machine's facts, the complaint, the map, what waits for what is asked first, a kind
    of step, a repair, a stop; before the session, after it, or not known.
    """

    NEW = "new"
    FACT = "fact"
    COMPLAINT = "complaint"
    MAP = "map"
    WAITING = "waiting"
    TELL = "tell"
    LOOK = "look"
    CHOOSE = "choose"
    MEASURE = "measure"
    COMPUTE = "compute"
    RECORD = "record"
    REPAIR = "repair"
    STOPPED = "stopped"
    CLOSED = "closed"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class ScreenSnapshot:
    """What was on the screen.

    ``number`` of ``count`` is the step's place in its inspection, 0 where there is none. ``lines`` are further lines:
    what has to be made safe, or the acts of a repair. ``why`` says what a step is asked for. ``unit`` and
    ``limit`` (bands in words, with their source) are those of a reading.
    """

    kind: SnapshotKind
    title: str
    do: str = ""
    expect: str = ""
    inspection: str = ""
    step: str = ""
    phase: Phase | None = None
    number: int = 0
    count: int = 0
    caution: tuple[Caution, ...] = ()
    choices: tuple[AnswerChoice, ...] = ()
    lines: tuple[str, ...] = ()
    drawing: DrawingRef | None = None
    closeup: DrawingRef | None = None
    unit: str = ""
    limit: str = ""
    why: str = ""

    @property
    def where(self) -> Target | None:
        """The inspection or the step that was on screen, if one was."""
        return Target(self.inspection, self.step) if self.inspection else None


def snapshot(view: JobView) -> ScreenSnapshot:
    """What the technician had on the screen in this state."""
    flow, state = view.flow, view.state
    if state.job is JobState.NEW:
        return ScreenSnapshot(SnapshotKind.NEW, _NEW)
    if state.job is JobState.STOPPED:
        return _stopped(view)
    if state.job is JobState.CLOSED:
        return ScreenSnapshot(SnapshotKind.CLOSED, f"Closed: {result_words(view)}")
    if state.run is None and (facts := next_queries.open_facts(view)):
        return _fact(flow, facts[0])
    if state.run is None and not state.complaint:
        return ScreenSnapshot(
            SnapshotKind.COMPLAINT, "Complaint", "What does the customer say, in their own words?"
        )
    return _at_work(view)


def _at_work(view: JobView) -> ScreenSnapshot:
    flow, run = view.flow, view.state.run
    inspection = flow.inspections.get(run.inspection) if run else None
    if run is None or inspection is None:
        return _repair(flow.faults[view.state.goal]) if view.state.goal in flow.faults else _map(view)
    step = inspection.step(run.at)
    if step is None:
        return ScreenSnapshot(SnapshotKind.MAP, inspection.title, _next(view), inspection=inspection.id)
    if not machine_queries.ready(view):
        needs = machine_queries.unmet_words(view, StepRef(inspection.id, step.id))
        return ScreenSnapshot(
            SnapshotKind.WAITING, inspection.title, needs, inspection=inspection.id, step=step.id
        )
    return _step(view, inspection, step, run)


def _map(view: JobView) -> ScreenSnapshot:
    return ScreenSnapshot(SnapshotKind.MAP, "Job map", _next(view))


def _next(view: JobView) -> str:
    return formatting.sentence(f"Next: {visit_end.describe(view.flow, next_queries.next_up(view))}")


def _repair(fault: Fault) -> ScreenSnapshot:
    return ScreenSnapshot(
        SnapshotKind.REPAIR,
        fault.remedy.says,
        fault.says,
        lines=fault.remedy.do,
        caution=fault.remedy.caution,
    )


def _stopped(view: JobView) -> ScreenSnapshot:
    """Every stop of the visit: the last reason on top, and all that has to be made safe."""
    stops = [view.flow.stops[h.stop] for h in view.state.stops if h.stop in view.flow.stops]
    if not stops:
        return ScreenSnapshot(
            SnapshotKind.STOPPED, "Work stopped", view.state.stops[-1].words if view.state.stops else ""
        )
    calls = dict.fromkeys(formatting.sentence(stop.call) for stop in stops)
    return ScreenSnapshot(
        SnapshotKind.STOPPED,
        " ".join(formatting.sentence(stop.says) for stop in stops),
        f"Call: {' '.join(calls)}",
        lines=tuple(line for stop in stops for line in stop.make_safe),
    )


def _fact(flow: Flow, fact_id: str) -> ScreenSnapshot:
    fact = flow.fact(fact_id)
    assert fact is not None
    return ScreenSnapshot(
        SnapshotKind.FACT, "Machine", fact.ask, choices=tuple(AnswerChoice(v.id, v.says) for v in fact.values)
    )


def _step(view: JobView, inspection: Inspection, step: Step, run: Run) -> ScreenSnapshot:
    limit = _limit(view, step)
    reading, alone = reading_of(step), run.only
    condition = view.flow.conditions.get(run.condition)
    return ScreenSnapshot(
        SnapshotKind(step.kind),
        inspection.title,
        step.do,
        step.expect,
        inspection.id,
        step.id,
        run.phase,
        number=0 if alone else [s.id for s in inspection.steps].index(step.id) + 1,
        count=0 if alone else len(inspection.steps),
        caution=(*inspection.caution, *step.caution),
        choices=()
        if isinstance(step, JudgedStep)
        else tuple(AnswerChoice(a.id, a.says or a.id) for a in step.answers),
        drawing=drawn_for(view.flow.drawings, step.drawing, view.state.facts),
        closeup=drawn_for(view.flow.drawings, step.closeup, view.state.facts),
        unit=reading.unit if reading else "",
        limit=limit,
        why=f"Asked for: {condition.says}." if condition else "",
    )


def _limit(view: JobView, step: Step) -> str:
    """The bands and their source as they were used then."""
    from wizard.engine.measuring.judging import limit_of

    limit = limit_of(view, step)
    return f"{limit_text.bands(limit)}. {formatting.sentence(limit_text.source(limit))}" if limit else ""
