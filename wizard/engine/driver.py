"""Drive a session by a source: the flow's order is followed, each question is put to the source, its answer is done.

What a technician does of themselves is done here too: get ready for a repair, leave a part out that can't be had now.
Nothing here gets past the engine: every act is a command that may be refused.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from wizard.domain.vocabulary import (
    AnswerHow,
    InspectionResult,
    JobState,
    NextKind,
    RefusalReason,
    RepairOutcome,
)
from wizard.engine.answer_source import AnswerSource, Reply, ReplyHow
from wizard.engine.handlers.repair import consented
from wizard.engine.measuring import judging
from wizard.engine.measuring.offered_setting import offered_setting
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.repair_parts import usual_alternative, whole_sets
from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.queries import inspection_queries, machine_queries, next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.session import Session
from wizard.engine.state.fault_evidence import confirmed
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.errors import Refused
from wizard.flow.model import Fault, MeasureStep, RecordStep, Step

LONGEST_QUIET = 600.0
"""Seconds that a technician works at most without touching a key at a repair; well below a lapse.
"""


SEEN_ANEW = "Seen anew."
"""Why an answer contradicts what the record had before a break, a restart or a new visit."""

BARRED = (RefusalReason.BARRED, RefusalReason.LATCHED, RefusalReason.CIRCLE)
"""Refused since something can't be had now."""


def no_wait(_seconds: float) -> None:
    """Let no time pass."""


@dataclass(slots=True)
class Driver:
    """A session, the source that answers, and ``wait``, which lets time pass (seconds) before an act."""

    session: Session
    source: AnswerSource
    wait: Callable[[float], None] = no_wait

    def advance(self) -> bool:
        """Do the next thing; False when the visit is over. Refused when the rules don't allow what comes next."""
        state = self.session.state
        if state.job is JobState.CLOSED:
            return False
        if state.job is JobState.STOPPED:
            self._end_stopped()
        elif state.run is not None:
            self.answer(state.run)
        elif state.goal:
            self._fit(self.session.flow.faults[state.goal])
        else:
            self._follow(self.source.coming(self.session.view))
        return True

    def do(self, command: cmd.Command) -> None:
        """Do a command; an answer against what was known before is given its reason."""
        try:
            self.session.do(command)
        except Refused as refusal:
            if refusal.reason is not RefusalReason.REASON or not isinstance(command, cmd.GiveAnswer):
                raise
            self.session.do(replace(command, reason=SEEN_ANEW))

    def answer(self, run: Run) -> None:
        """Answer the step on screen as the source says."""
        step = self.step_of(run)
        self.wait(max(step.minutes * 60.0, self.session.wait_left()))
        reply = self.source.reply(self.session.view, run, step)
        target, asked = self._bottom(), run.only
        for command in self.commands(run, step, reply):
            self.do(command)
        state = self.session.state
        if (
            asked
            and state.run is None
            and not state.goal
            and state.job is JobState.WORKING
            and target is not None
            and not next_queries.facts_in_sight(self.session.view)
        ):
            self._given_up(target)

    def _bottom(self) -> Run | None:
        """The run that is worked on, whatever is asked for it on top."""
        state = self.session.state
        run = state.find_run(state.stack[0]) if state.stack else None
        return run if run is not None and not run.only else None

    def _given_up(self, target: Run) -> None:
        """What was asked for an inspection brought the job map: it can't be had now, so it is left out."""
        says = machine_queries.barred(self.session.view, target.ref) or "What it needs could not be had."
        self._leave_out(target.inspection, says)

    def step_of(self, run: Run) -> Step:
        """The step that a run stands at."""
        step = self.session.flow.inspections[run.inspection].step(run.at)
        if step is None:
            raise Refused(RefusalReason.UNKNOWN, f"There is no step {run.at} in {run.inspection}.")
        return step

    def commands(self, run: Run, step: Step, reply: Reply) -> tuple[cmd.Command, ...]:
        """The commands that a reply to a step is made of."""
        if reply.how in (ReplyHow.UNABLE, ReplyHow.NOT_FITTED):
            return (cmd.SayUnable(run.id, step.id, reply.reason, AnswerHow(reply.how.value)),)
        if reply.how is ReplyHow.STOP:
            return (cmd.StopWork(reply.stop, reply.reason),)
        if reply.how is ReplyHow.ANSWER:
            return (cmd.GiveAnswer(run.id, step.id, reply.chosen, reply.reason),)
        if reply.how is ReplyHow.RECORDED and reply.spin is not None:
            said = _with_setting(self.session.state, step, reply.spin)
            return (cmd.TakeSpin(run.id, step.id, said, "scripted"),)
        judge = cmd.Judge(run.id, step.id, reply.reason)
        if not isinstance(step, MeasureStep):
            return (judge,)
        slots = judging.slots(step.reading, self.session.state.facts)
        if len(slots) != len(reply.typed):
            raise Refused(
                RefusalReason.READING, f"{len(reply.typed)} readings are given, the step takes {len(slots)}."
            )
        taken = (
            cmd.TakeReading(run.id, step.id, typed, slot.item, slot.way, slot.repeat, sure=True)
            for slot, typed in zip(slots, reply.typed, strict=True)
            if typed
        )
        return (*taken, judge)

    def _leave_out(self, where: str, reason: str) -> None:
        """Leave an inspection out, or the measuring again that is owed there."""
        owed = [w for w in inspection_queries.rechecks(self.session.state) if w.inspection == where]
        step = owed[0].step if owed else ""
        self.do(cmd.Skip(where, reason, recheck=bool(owed), step=step))

    def _follow(self, coming: NextUp) -> None:
        flow, view = self.session.flow, self.session.view
        match coming.kind:
            case NextKind.FACT:
                fact = flow.fact(coming.target)
                assert fact is not None
                self.do(cmd.SetFact(fact.id, self.source.fact(view, fact)))
            case NextKind.COMPLAINT:
                self.do(cmd.SetComplaint(self.source.complaint(view)))
            case NextKind.DECIDE:
                self.do(cmd.Confirm(self.source.faults(view)))
            case NextKind.REPAIR:
                self._repair(flow.faults[coming.target])
            case NextKind.INSPECT | NextKind.RECHECK:
                self._open(coming)
            case NextKind.SKIP:
                self._leave_out(coming.target, coming.why)
            case NextKind.CAUSE:
                self.do(cmd.AskCause(coming.target))
            case NextKind.RELEASE:
                self.do(self.source.release(view, coming.target))
            case NextKind.LEAVE | NextKind.HANDOVER:
                self.do(cmd.OpenInspection(coming.target, coming.step))
            case _:
                self.do(cmd.Close())

    def _open(self, coming: NextUp) -> None:
        try:
            self.do(cmd.OpenInspection(coming.target, coming.step))
        except Refused as refusal:
            if refusal.reason not in BARRED:
                raise
            self._leave_out(coming.target, str(refusal))

    def _repair(self, fault: Fault) -> None:
        view = self.session.view
        plan = self.source.repair(view, fault)
        declined = plan.outcome is RepairOutcome.DECLINED
        way = plan.alternative or usual_alternative(fault.remedy)
        parts = (
            ()
            if declined or plan.outcome is RepairOutcome.PUT_OFF
            else whole_sets(fault.remedy, view.state.facts)
        )
        if plan.outcome is RepairOutcome.FITTED:
            if test := untested(self.session.view, fault):
                self.do(cmd.OpenInspection(test))
                return
            self.do(cmd.Prepare(fault.id))
            if self.session.state.run is None:
                self._fit(fault)
            return
        if plan.outcome is RepairOutcome.ON_ORDER and not self._asked_for(fault):
            return
        self.do(cmd.RecordRepair(fault.id, plan.outcome, parts, plan.reason, alternative=way))

    def _asked_for(self, fault: Fault) -> bool:
        """Ask the customer before parts are ordered, and nothing else that the work would need; whether they agreed."""
        if consented(self.session.view, fault):
            return True
        self.do(cmd.Prepare(fault.id))
        while (run := self.session.state.run) is not None and not consented(self.session.view, fault):
            self.answer(run)
        if self.session.state.run is not None:
            self.do(cmd.Leave())
        return consented(self.session.view, fault)

    def _fit(self, fault: Fault) -> None:
        """Make the repair that was prepared, and record it."""
        facts = self.session.state.facts
        plan = self.source.repair(self.session.view, fault)
        way = plan.alternative or usual_alternative(fault.remedy)
        self._work(fault.remedy.minutes * 60.0)
        parts = whole_sets(fault.remedy, facts, way)
        self.do(cmd.RecordRepair(fault.id, RepairOutcome.FITTED, parts, plan.reason, way))

    def _work(self, seconds: float) -> None:
        """Let the time of a repair pass, a key touched now and then as its lines are ticked off."""
        while seconds > 0.0:
            self.wait(min(seconds, LONGEST_QUIET))
            self.session.touch()
            seconds -= LONGEST_QUIET

    def _end_stopped(self) -> None:
        """Tick off what makes the machine safe, and close the visit."""
        for stoppage in self.session.state.stops:
            for line in range(len(self.session.flow.stops[stoppage.stop].make_safe)):
                self.wait(60.0)
                self.do(cmd.MakeSafe(stoppage.stop, line))
        self.do(cmd.Close())


def untested(view: JobView, fault: Fault) -> str:
    """The first inspection that could confirm a fault that none did, and was not begun, or empty."""
    if confirmed(view, fault):
        return ""
    names = dict.fromkeys(where.inspection for where in fault.confirm)
    fitting = (n for n in names if inspection_queries.applies(view, view.flow.inspections[n]))
    return next(
        (n for n in fitting if inspection_queries.result(view.state, n) is InspectionResult.NOT_BEGUN), ""
    )


def _with_setting(state: State, step: Step, spin: SpinRecord) -> SpinRecord:
    """A recording with what the step itself says of it."""
    assert isinstance(step, RecordStep)  # no other step is replied to with a recording
    return replace(spin, setting=offered_setting(state, step, spin.signal))
