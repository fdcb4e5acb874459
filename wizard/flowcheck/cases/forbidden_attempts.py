"""Attempts to get past a rule. Each is made on the session as it stands and must be refused.

What ``wizard.flow.model.case_attempts`` names as refused must be refused itself; after what may be done, the answer
to the step at hand must be. Opening, jumping and forging are tried on a copy: the last two on one whose journal was
edited.
"""

from __future__ import annotations

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Phase, RefusalReason, RepairOutcome
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Answered, Entered, Event, Recorded
from wizard.engine.messages.repair_parts import usual_alternative
from wizard.engine.session import Session
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import Run, State
from wizard.errors import Refused
from wizard.flow.model.case import Attempt
from wizard.flow.model.case_attempts import (
    AnswerAttempt,
    BreakAttempt,
    CloseAttempt,
    CorrectAttempt,
    FitAttempt,
    ForgeAttempt,
    JumpAttempt,
    LeaveAttempt,
    OpenAttempt,
    PauseAttempt,
    RestartAttempt,
    SkipAttempt,
    UndoAttempt,
)
from wizard.flowcheck.cases.case_result import Tried
from wizard.flowcheck.model.manual_clock import CaseClock

WHY = "Tried to get past."

Harmless = UndoAttempt | LeaveAttempt | BreakAttempt | CorrectAttempt | RestartAttempt | PauseAttempt
"""What may be done: then the step at hand must be refused."""


class Attempts:
    """Tries what a case wants tried on a session that keeps its events in ``records`` and its time in ``clock``."""

    def __init__(self, session: Session, records: list[Recorded], clock: CaseClock) -> None:
        self.session = session
        self.records = records
        self.clock = clock

    def make(self, attempt: Attempt, answer: cmd.Command) -> Tried:
        """Make an attempt; ``answer`` is what would be said to the step at hand. CaseFailed if it can't be made."""
        refused = self._refused(attempt, answer)
        return Tried(attempt, refused, refused is attempt.refused)

    def _refused(self, attempt: Attempt, answer: cmd.Command) -> RefusalReason | None:
        """The reason it is refused for, or that for which the step at hand is refused after it."""
        match attempt:
            case SkipAttempt():
                return refusal(self.session, cmd.Skip(self.run.inspection, WHY))
            case CloseAttempt():
                return refusal(self.session, cmd.Close())
            case FitAttempt(fault=fault):
                return _fit(self, fault)
            case AnswerAttempt(step=step, chosen=chosen):
                return _answer(self, step, chosen)
            case OpenAttempt(inspection=inspection):
                return _open(self, inspection)
            case JumpAttempt(step=step):
                return _jump(self, step)
            case ForgeAttempt(condition=condition, value=value):
                return _forge(self, condition, value, answer)
        return self._done(attempt) or refusal(self.session, answer)

    def _done(self, attempt: Harmless) -> RefusalReason | None:
        """The reason that what may be done is refused for, or None when it was done."""
        match attempt:
            case UndoAttempt():
                return refusal(self.session, cmd.Undo())
            case LeaveAttempt():
                return refusal(self.session, cmd.Leave())
            case BreakAttempt():
                return refusal(self.session, cmd.Pause())
            case CorrectAttempt(step=step, chosen=chosen):
                given = (g.seq for g in self.session.state.answer_records if g.ref == step and not g.aside)
                return refusal(self.session, cmd.Correct(max(given, default=0), chosen, WHY))
            case RestartAttempt():
                reported = tuple(self.records)
                self.session = Session.resume(self.session.flow, reported, self.records.append, self.clock)
            case PauseAttempt(seconds=seconds):
                self.clock.pass_by(seconds)
        return None

    @property
    def run(self) -> Run:
        """The run of the step at hand."""
        run = self.session.state.run
        assert run is not None, "an attempt is made when a step is asked"
        return run


def _fit(on: Attempts, fault: str) -> RefusalReason | None:
    known = on.session.view.flow.faults.get(fault)
    way = usual_alternative(known.remedy) if known else ""
    return refusal(on.session, cmd.RecordRepair(fault, RepairOutcome.FITTED, reason=WHY, alternative=way))


def _answer(on: Attempts, where: StepRef, chosen: tuple[str, ...]) -> RefusalReason | None:
    below = [r for r in map(on.session.state.find_run, on.session.state.stack) if r is not None]
    target = next((r for r in below if r.inspection == where.inspection), on.run)
    return refusal(on.session, cmd.GiveAnswer(target.id, where.step, chosen))


def _open(on: Attempts, name: str) -> RefusalReason | None:
    """At the door, tried on a copy. What is asked before its step is a refusal: its needs don't hold."""
    copy = Session(on.session.view, _nowhere, on.clock)
    if refused := refusal(copy, cmd.OpenInspection(name)):
        return refused
    run = copy.state.run
    return None if run is not None and run.inspection == name else RefusalReason.NEEDS


def _jump(on: Attempts, where: StepRef) -> RefusalReason | None:
    """A journal that was edited to stand at a step: nothing that it needs was asked, and it is answered there."""
    state = on.session.state
    run = len(state.runs) + 1
    entered = Entered(run=run, inspection=where.inspection, step=where.step, phase=Phase.BEFORE)
    copy = Session(on.session.view.at(_edited(on.session, entered)), _nowhere, on.clock)
    found = copy.flow.step(where)
    answers = (found.answers[0].id,) if found is not None and found.answers else ()
    return refusal(copy, cmd.GiveAnswer(run, where.step, answers))


def _forge(on: Attempts, condition: str, value: str, answer: cmd.Command) -> RefusalReason | None:
    """A journal that was edited to believe something of the machine, loaded: the step at hand is answered."""
    run = on.run
    claimed = Answered(
        run=run.id, step=run.at, chosen=("forged",), how=AnswerHow.ANSWER, goes=run.at,
        belief={condition: frozenset((value,))},
    )  # fmt: skip
    last = on.records[-1]
    records = [*on.records, Recorded(last.seq + 1, last.at, 0.0, claimed)]
    copy = Session.resume(on.session.flow, tuple(records), _nowhere, on.clock)
    return refusal(copy, answer)


def _edited(session: Session, event: Event) -> State:
    state = session.state
    return fold(state, Recorded(state.seq + 1, state.at, 0.0, event))


def refusal(session: Session, command: cmd.Command) -> RefusalReason | None:
    """The reason that a command is refused for, or None when it was done."""
    try:
        session.do(command)
    except Refused as problem:
        return problem.reason
    return None


def _nowhere(_record: Recorded) -> None:
    """Keep nothing: the copy is only looked at."""
