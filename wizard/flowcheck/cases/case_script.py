"""A case as a source of answers: what is scripted is said, everything else gets the usual answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wizard.domain.recording_vocabulary import UNITS, FigureKind, SignalKind, SpinPhase
from wizard.domain.references import StepRef, Target
from wizard.domain.vocabulary import (
    CaseAnswerKind,
    NextKind,
    Phase,
    RepairOutcome,
    StepKind,
)
from wizard.engine.answer_source import RepairReply, Reply, ReplyHow
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.measuring import judging
from wizard.engine.messages.commands import Release
from wizard.engine.messages.spin_record import KeptFigure, KeptStretch, SpinRecord
from wizard.engine.queries import inspection_queries, machine_queries, next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_state import AnswerRecord, Run, State
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed
from wizard.flow.model import Fact, Fault, MeasureStep, RecordStep, Step
from wizard.flow.model.case import Case
from wizard.flow.model.case_form import CaseAnswer
from wizard.measure.quantities import units
from wizard.safety import Belief

RELEASER = "The owner"
"""The name that a case gives to whoever says that the cause of a stop is over."""


class Script:
    """The answers of one case. CaseFailed says what the case would have to give and doesn't.

    ``asked`` gathers the paths in the case of the answers that were asked for, as the key of a table and a step.
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        self.asked: set[tuple[str, StepRef]] = set()

    def fact(self, view: JobView, fact: Fact) -> str:
        """The fact as the case gives it, else its usual value, as once it is in sight; an open one may stay open."""
        value = self.case.facts.get(fact.id, fact.usual)
        if fact.id in next_queries.facts_in_sight(view) and fact.id not in self.case.unseen:
            value = fact.usual
        if not value and fact.required:
            if fact.values:
                raise CaseFailed(
                    f'fact "{fact.id}" has no usual value. Give it in the case, or mark one in the flow.'
                )
            return "not given"
        return value

    def complaint(self, view: JobView) -> str:
        """The complaint that the flow is about."""
        return view.flow.complaint

    def release(self, view: JobView, condition: str) -> Release:
        """Somebody always says that the cause is over: what it was is asked anew."""
        return Release(condition, RELEASER, "Repaired since.")

    def coming(self, view: JobView) -> NextUp:
        """The flow's own order, or that of the case; what the case passes over is passed over."""
        coming = next_queries.next_up(view)
        if self.case.order is not None and coming.kind in _SEARCH and view.state.decided is None:
            left = (i for i in self.case.order if inspection_queries.pending(view, i))
            first = next(left, "")
            coming = NextUp(NextKind.INSPECT if first else NextKind.DECIDE, first, "The order of the case.")
        if coming.kind in (NextKind.INSPECT, NextKind.RECHECK) and (why := self._passed_over(coming)):
            return NextUp(NextKind.SKIP, coming.target, why, coming.step)
        return coming

    def _passed_over(self, coming: NextUp) -> str:
        """Why the case passes over what comes, or empty."""
        if coming.kind is NextKind.RECHECK:
            return self.case.unmeasured.get(Target(coming.target, coming.step), "")
        return self.case.skip.get(coming.target, "") if not coming.step else ""

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        """The scripted answer, else the usual one; of several to tick those that aren't known to be otherwise."""
        where = StepRef(run.inspection, step.id)
        given = self._given(view.state, run, where)
        if given is not None:
            return reply(given, step, view.state.facts, where)
        if step.many:
            return ticked(step, machine_queries.belief(view))
        return usual(view, step, where)

    def _given(self, state: State, run: Run, where: StepRef) -> CaseAnswer | None:
        """The answer of the case: once something is repaired, those of ``after`` come first.

        What was answered before the repair is not said again after it, but for what one step is asked for another,
        and for what is asked only then.
        """
        if where in self.case.after and (first_repair(state) or run.phase is Phase.AFTER):
            before = [g for g in state.answer_records if is_after(state, g)]
            self.asked.add(("after", where))
            return turn(self.case.after[where], before, where)
        first = run.phase is Phase.BEFORE or not inspection_queries.runs_of(
            state, run.inspection, Phase.BEFORE
        )
        if not first:
            return None
        self.asked.add(("answers", where))
        return turn(self.case.answers.get(where), state.answer_records, where)

    def faults(self, view: JobView) -> tuple[str, ...]:
        """The faults that the case confirms; after a proof that failed none besides."""
        if view.state.decided is not None:
            return ()
        if isinstance(self.case.confirm, tuple):
            return self.case.confirm
        ranked = ranking(view)
        return (ranked[0].fault,) if ranked else ()

    def repair(self, view: JobView, fault: Fault) -> RepairReply:
        """Fitted, unless the case says otherwise for this visit."""
        outcomes = self.case.repairs.get(fault.id, (RepairOutcome.FITTED,))
        outcome = outcomes[min(len(view.state.visits), len(outcomes)) - 1]
        reasons = {
            RepairOutcome.DECLINED: fault.remedy.risk or "The customer was told the risk.",
            RepairOutcome.PUT_OFF: "As the case has it: it takes two.",
            RepairOutcome.ON_ORDER: "As the case has it, whether a check spoke for it or not.",
        }
        return RepairReply(outcome, reasons.get(outcome, ""), self.case.ways.get(fault.id, ""))


def first_repair(state: State) -> int:
    """The number of the event at which something was first repaired, or 0."""
    return min((r.seq for r in state.repairs if r.outcome is RepairOutcome.FITTED), default=0)


def is_after(state: State, given: AnswerRecord) -> bool:
    """True for an answer that stands under ``after`` in a case: of a proof, or given once something was repaired."""
    return given.phase is Phase.AFTER or 0 < first_repair(state) < given.seq


def turn(scripted: CaseAnswer | None, given: Iterable[AnswerRecord], where: StepRef) -> CaseAnswer | None:
    """The scripted answer whose turn it is, by how often the step was answered already."""
    if scripted is None or scripted.kind is not CaseAnswerKind.TURNS:
        return scripted
    count = sum(g.ref == where for g in given)
    return scripted.turns[min(count, len(scripted.turns) - 1)]


def usual(view: JobView, step: Step, where: StepRef) -> Reply:
    """What a healthy machine gives. CaseFailed if the flow marks nothing as usual there."""
    if step.kind is StepKind.COMPUTE:
        return Reply(ReplyHow.READINGS)
    if isinstance(step, RecordStep):
        return Reply(ReplyHow.UNABLE, reason=NOT_RECORDED)
    if isinstance(step, MeasureStep):
        given = judging.usual_of(view, step)
        if given is None:
            raise CaseFailed(f"{where} has no usual reading. Answer it in the case, or give the step one.")
        return _typed(step, view.state.facts, (units.from_si(given, step.reading.unit),))
    if step.many:
        return Reply(ReplyHow.ANSWER, tuple(a.id for a in step.answers if a.usual))
    if step.usual is not None:
        return Reply(ReplyHow.ANSWER, (step.usual.id,))
    if len(step.answers) == 1:
        return Reply(ReplyHow.ANSWER, (step.answers[0].id,))
    raise CaseFailed(f"{where} has no usual answer. Answer it in the case, or mark one as usual.")


def ticked(step: Step, belief: Belief) -> Reply:
    """The usual answers of a step where several may be ticked, without those that what is known speaks against.

    Whoever took a panel off doesn't tick that it is on.
    """
    fitting = (
        a.id
        for a in step.answers
        if a.usual and all(values & belief.get(c, values) for c, values in a.so.items())
    )
    return Reply(ReplyHow.ANSWER, tuple(fitting))


def reply(given: CaseAnswer, step: Step, facts: Mapping[str, str], where: StepRef) -> Reply:
    """What a scripted answer says to a step. CaseFailed if the step can't take it."""
    if given.kind in (CaseAnswerKind.UNABLE, CaseAnswerKind.NOT_FITTED):
        return Reply(ReplyHow(given.kind.value), reason=given.reason)
    if given.kind is CaseAnswerKind.STOP:
        return Reply(ReplyHow.STOP, stop=given.reason)
    if given.kind is CaseAnswerKind.RECORDED and isinstance(step, RecordStep):
        return Reply(ReplyHow.RECORDED, spin=recorded(given))
    if (given.kind is CaseAnswerKind.READINGS) != isinstance(step, MeasureStep) or isinstance(
        step, RecordStep
    ):
        raise CaseFailed(f"{where} is {_HOW[step.kind]}; the case answers it otherwise.")
    if given.kind is CaseAnswerKind.ANSWER:
        return Reply(ReplyHow.ANSWER, given.ids)
    assert isinstance(step, MeasureStep)
    try:
        return _typed(step, facts, given.numbers)
    except ValueError as problem:
        raise CaseFailed(f"{where}: {problem}.") from problem


NOT_RECORDED = "Nothing was recorded."
"""Why a case that says nothing of a recording has none."""


def recorded(given: CaseAnswer) -> SpinRecord:
    """The recording that a case has: its figures, exact, and nothing to draw. Its drum spun for a minute, at the top
    speed that is given, or a usual one; where that is false, no drum is seen to turn.
    """
    figures = (
        KeptFigure(
            kind, f"{kind}: {'not there' if value is None else f'{value:g}'}.", value is not None, value or 0.0,
            unit=UNITS.get(kind, "1"), there=value is not None,
        )
        for kind, value in given.figures
    )  # fmt: skip
    unit = "dB" if given.signal is SignalKind.SOUND else "m/s2"
    speed = dict(given.figures).get(FigureKind.TOP_SPEED, _SPUN)
    spun = (KeptStretch(SpinPhase.SPIN, 0.0, 60.0, 0.0, 0.0, 0.0, speed),) if speed else ()
    return SpinRecord(
        given.signal, 60.0, 100.0, unit, (0.0, 60.0), (0.0, 0.0), (0.0, 0.0), spun, tuple(figures)
    )


_SPUN = 1000.0  # rpm, where a case says nothing of it


def _typed(step: MeasureStep, facts: Mapping[str, str], numbers: tuple[float, ...]) -> Reply:
    """Numbers in the step's unit as they would be typed, one for each slot."""
    count = len(judging.slots(step.reading, facts))
    spread = CaseAnswer(CaseAnswerKind.READINGS, numbers=numbers).spread(count)
    return Reply(ReplyHow.READINGS, typed=tuple(f"{number:.12g}" for number in spread))


_SEARCH = (NextKind.INSPECT, NextKind.DECIDE)
_HOW: Mapping[StepKind, str] = {
    StepKind.MEASURE: "measured",
    StepKind.COMPUTE: "computed",
    StepKind.RECORD: "recorded",
    StepKind.TELL: "done",
    StepKind.LOOK: "chosen",
    StepKind.CHOOSE: "chosen",
}
