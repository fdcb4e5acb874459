"""A transaction: events are folded as they are decided, so that later ones see what earlier ones did."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.domain.references import ActRef, StepRef
from wizard.domain.vocabulary import JobAct, JobState, Phase, RefusalReason, RunStatus
from wizard.engine.messages.commands import Command
from wizard.engine.messages.events import (
    Asked,
    Entered,
    Event,
    Headed,
    InspectionLeft,
    Recorded,
    Shown,
    StopCleared,
)
from wizard.engine.queries import inspection_queries, machine_queries, next_queries
from wizard.engine.queries.hands_out import last_widening
from wizard.engine.queries.standing_stops import causes_standing, cleared_by
from wizard.engine.queries.stopped import held_back, held_words
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.safety.state_machines import JobMachine
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_ref
from wizard.engine.state.waiting import wait_left, wait_words
from wizard.errors import Refused
from wizard.flow.model import Flow, Inspection, Step
from wizard.flow.model.consent import needs_consent
from wizard.safety import Ask, Barred, BarredKind, Belief, Model, Needs, changed

__all__ = [
    "Moment",
    "Rules",
    "Transaction",
    "arrive",
    "ask",
    "beginning",
    "clear_screen",
    "current",
    "enter",
    "require_job",
    "settle",
]


@dataclass(frozen=True, slots=True)
class Moment:
    """When a command comes: UTC wall time (ISO 8601), seconds since the last event, seconds since the last key
    (the larger of wall and steady clock), whether a clock went backwards, and for how long (seconds) the program did
    not run since it last looked.
    """

    at: str = ""
    since: float = 0.0
    idle: float = 0.0
    backwards: bool = False
    gap: float = 0.0


@dataclass(slots=True)
class Transaction:
    """The events decided so far and the view that they make. The only mutable thing in the engine's rules."""

    view: JobView
    moment: Moment
    command: Command
    records: list[Recorded] = field(default_factory=list)

    @property
    def rules(self) -> Rules:
        """The rules of the flow."""
        return self.view.rules

    @property
    def flow(self) -> Flow:
        """The flow."""
        return self.view.flow

    @property
    def state(self) -> State:
        """The state that the events decided so far make."""
        return self.view.state

    @property
    def model(self) -> Model:
        """The model of this machine, as its facts stand now."""
        return self.view.model

    @property
    def belief(self) -> Belief:
        """What is believed of this machine now."""
        return machine_queries.belief(self.view)

    def changes(self, after: Belief) -> dict[str, frozenset[str]]:
        """The conditions of which something else is believed after, with what they may be then."""
        return changed(self.belief, after)

    def emit(self, event: Event) -> None:
        """Decide an event."""
        moment = self.moment
        first = not self.records
        asked = Asked(self.command, moment.idle, moment.backwards, moment.gap) if first else None
        record = Recorded(self.state.seq + 1, moment.at, moment.since if first else 0.0, event, asked)
        self.view = self.view.at(fold(self.state, record))
        self.records.append(record)

    def inspection(self, run: Run) -> Inspection:
        """The inspection of a run."""
        return self.flow.inspections[run.inspection]


def require_job(d: Transaction, act: JobAct) -> None:
    """Refuse an act that this job's life doesn't allow now."""
    if not JobMachine().may(d.state.job, act):
        says = "not begun" if d.state.job is JobState.NEW else d.state.job.value
        raise Refused(RefusalReason.JOB, f"This job is {says}. Begin a new visit to work on it.")


def require_cleared(d: Transaction) -> None:
    """Refuse other work while a stop of an earlier visit stands."""
    if d.state.job is JobState.WORKING and (causes := causes_standing(d.view)):
        raise Refused(RefusalReason.LATCHED, held_words(d.view, causes[0]))


def named(d: Transaction) -> str:
    """Who works on this visit now; empty where nobody is named."""
    visit = d.state.visit
    name = visit.people[-1].strip() if visit is not None else ""
    return name if any(letter.isalpha() for letter in name) else ""


def clear_answered(d: Transaction) -> None:
    """Write down each stop of an earlier visit that is over: its cause was asked anew now, and answered well."""
    name = named(d)
    for cause in causes_standing(d.view) if name and d.state.job is JobState.WORKING else ():
        if entries := cleared_by(d.view, cause):
            for stoppage in cause.stoppages:
                d.emit(StopCleared(stopped=stoppage.seq, stop=stoppage.stop, name=name, entries=entries))


def current(d: Transaction, run_id: int, step_id: str) -> tuple[Run, Inspection, Step]:
    """The run and step on screen, if the command is for them and the step may be answered now; else Refused."""
    require_job(d, JobAct.WORK)
    run = d.state.run
    if run is None or run.id != run_id or run.at != step_id:
        raise Refused(
            RefusalReason.LATE, "That answer was for another question. Look at the screen and answer again."
        )
    inspection = d.inspection(run)
    step = inspection.step(step_id)
    if step is None:
        raise Refused(RefusalReason.UNKNOWN, f"There is no step {step_id} in {inspection.title}.")
    if not machine_queries.ready(d.view):
        raise Refused(
            RefusalReason.NEEDS, machine_queries.unmet_words(d.view, StepRef(inspection.id, step_id))
        )
    return run, inspection, step


def waited(d: Transaction, run: Run, step: Step) -> None:
    """Refuse an answer before the time has passed that its step waits for."""
    left = wait_left(d.state, run, step, d.moment.since)
    if left:
        raise Refused(RefusalReason.EARLY, f"Not yet: {wait_words(left)} are left to wait.")


def enter(
    d: Transaction, inspection: Inspection, step: str, phase: Phase, run: int = 0, condition: str = ""
) -> None:
    """Begin a run at a step, or resume an earlier one."""
    if not d.rules.runs.may_enter(inspection.id, step):
        raise Refused(RefusalReason.UNKNOWN, f"There is no step {step} in {inspection.title}.")
    number = run or len(d.state.runs) + 1
    d.emit(Entered(run=number, inspection=inspection.id, step=step, phase=phase, condition=condition))


def settle(d: Transaction, answered: bool = False) -> None:
    """Bring what is on screen to where it may be answered: what it needs is asked first, one condition at a time.

    What can't be had now is refused; but never an answer that was ``answered`` just now: it counts, and the job map
    comes. A fact that came in sight is asked before anything more is done; what was on screen goes on after it.
    """
    while (target := _target(d)) is not None:
        if why := held_back(d.view):
            if not answered:
                raise Refused(RefusalReason.LATCHED, why)
            clear_screen(d)
            return
        if next_queries.facts_in_sight(d.view):
            clear_screen(d)
            return
        act, shown = target
        if d.state.shown == shown:
            return
        coming = d.rules.next_step(d.state.facts, d.belief, act)
        if isinstance(coming, Barred):
            coming = consent_first(d, d.state.goal) or coming
        if coming is None:
            _show(d, act, shown)
            return
        if isinstance(coming, Barred):
            if not answered:
                raise Refused(REFUSED[coming.kind], machine_queries.barred_words(d.view, coming))
            clear_screen(d)
            return
        if not _begin_again(d):
            ask(d, coming)


def consent_first(d: Transaction, goal: str) -> Ask | None:
    """The question for the customer's consent to the repair of a fault, where nobody asked it; None where it is known,
    or not needed. What bars the work bars no words: parts may be ordered for it.
    """
    fault = d.flow.faults.get(goal)
    if fault is None or not needs_consent(d.flow, fault):
        return None
    coming = d.model.next_step(d.belief, d.flow.consent)
    return coming if isinstance(coming, Ask) else None


def arrive(d: Transaction) -> None:
    """Ask what must be known before anything of the machine is; nothing where that is known, or can't be had now."""
    working = d.state.job is JobState.WORKING and d.state.run is None
    coming = next_queries.arriving(d.view) if working else None
    if isinstance(coming, Ask):
        ask(d, coming)
        settle(d, answered=True)


def _begin_again(d: Transaction) -> bool:
    """Where a run of the machine was interrupted: go back to the step that began it. True if that was not here."""
    run = d.state.run
    if run is None or run.only or not _interrupted(d.state, run):
        return False
    start = beginning(d.flow, d.inspection(run), run.at)
    if start == run.at:
        return False
    enter(d, d.inspection(run), start, run.phase, run=run.id)
    return True


def _interrupted(state: State, run: Run) -> bool:
    """True where a run was left and resumed since its last answer, or nobody is known to have attended."""
    last = max((given.seq for given in state.answers(run.id)), default=run.seq)
    widened = last_widening(state)
    return run.resumed > last or (widened is not None and widened.seq > last)


def beginning(flow: Flow, inspection: Inspection, at: str) -> str:
    """The step at which the work begins that a step goes on with: the last one up to it that needs what its reach
    begins with; the step itself where its reach begins with nothing.
    """
    step = inspection.step(at)
    first = flow.reaches[step.reach].begins if step is not None and step.reach in flow.reaches else {}
    if step is None or not first:
        return at
    before = inspection.steps[: inspection.steps.index(step) + 1]
    starts = [s.id for s in before if s.reach == step.reach and _begins(s, first)]
    return starts[-1] if starts else at


def _begins(step: Step, first: Needs) -> bool:
    return all(step.needs.get(c, frozenset()) and step.needs[c] <= values for c, values in first.items())


REFUSED: Mapping[BarredKind, RefusalReason] = {
    BarredKind.LATCH: RefusalReason.LATCHED,
    BarredKind.KNOWN_BAD: RefusalReason.BARRED,
    BarredKind.STUCK: RefusalReason.CIRCLE,
}
"""The reason with which a command is refused that can't be made ready."""


def _target(d: Transaction) -> tuple[ActRef, tuple[int, str]] | None:
    """The act that is to be made ready, and how it is named once it is; None where none is or nothing can fail."""
    run = d.state.run
    if run is not None:
        step = d.inspection(run).step(run.at)
        return (run.ref, (run.id, run.at)) if step is not None else None
    return (repair_ref(d.view, d.state.goal), (0, d.state.goal)) if d.state.goal else None


def _show(d: Transaction, act: ActRef, shown: tuple[int, str]) -> None:
    """Write ahead what may come of the act. Where it neither needs nor may do anything, there is nothing to write."""
    known = d.model.acts.get(act)
    if known is not None and (known.needs or known.may):
        d.emit(Shown(run=shown[0], step=shown[1], belief=d.changes(d.model.show(d.belief, act))))


def ask(d: Transaction, missing: Ask) -> None:
    """Put the step on screen that establishes what is missing."""
    assert isinstance(missing.act, StepRef)  # no remedy establishes anything
    inspection = d.flow.inspections[missing.act.inspection]
    enter(d, inspection, missing.act.step, inspection_queries.phase_now(d.state), condition=missing.condition)


def clear_screen(d: Transaction) -> None:
    """Take every run off the screen: what was asked for another is void, the others keep their place."""
    for run_id in tuple(reversed(d.state.stack)):
        run = d.state.find_run(run_id)
        if run is not None:
            d.emit(InspectionLeft(run=run_id, how=RunStatus.VOID if run.only else RunStatus.LEFT))
    if d.state.goal:
        d.emit(Headed())


def drop_asked(d: Transaction) -> None:
    """Take what was asked for another step off the screen; it is asked anew where it is still needed."""
    for run_id in tuple(reversed(d.state.stack)):
        run = d.state.find_run(run_id)
        if run is not None and run.only:
            d.emit(InspectionLeft(run=run_id, how=RunStatus.VOID))
