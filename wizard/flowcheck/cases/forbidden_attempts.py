"""Attempts to get past a rule. Each is made on the session as it stands and must be refused.

``skip``, ``close``, ``fit:fault`` and ``answer:inspection.step:answer`` must be refused themselves;
``open:inspection`` at the door, or something must be asked before its step. After ``undo``, ``leave``, ``restart``,
``break``, ``pause:seconds`` and ``correct:inspection.step:answer``, which may be done, the answer to the step at
hand must be refused. Two are made on a copy whose journal was edited: ``jump:inspection.step`` stands at a step that
nothing led to, ``forge:condition:value`` believes what no step established; then the answer must be refused.
"""

from __future__ import annotations

from collections.abc import Callable

from wizard.domain.vocabulary import AnswerHow, Phase, RefusalReason, RepairOutcome
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Answered, Entered, Event, Recorded
from wizard.engine.messages.repair_parts import usual_alternative
from wizard.engine.session import Session
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import Run, State
from wizard.errors import Refused
from wizard.flow.model.case import Attempt
from wizard.flowcheck.cases.case_result import Tried
from wizard.flowcheck.model.manual_clock import CaseClock

WHY = "Tried to get past."


class Attempts:
    """Tries what a case wants tried on a session that keeps its events in ``records`` and its time in ``clock``."""

    def __init__(self, session: Session, records: list[Recorded], clock: CaseClock) -> None:
        self.session = session
        self._records = records
        self._clock = clock

    def make(self, attempt: Attempt, answer: cmd.Command) -> Tried:
        """Make an attempt; ``answer`` is what would be said to the step at hand. CaseFailed if it can't be made."""
        verb, _, rest = attempt.do.partition(":")
        refused = _VERBS[verb](self, rest, answer)
        return Tried(attempt.at, attempt.do, refused, refused is attempt.refused)

    @property
    def _run(self) -> Run:
        run = self.session.state.run
        assert run is not None, "an attempt is made when a step is asked"
        return run

    def _skip(self, _rest: str, _answer: cmd.Command) -> RefusalReason | None:
        return refusal(self.session, cmd.Skip(self._run.inspection, WHY))

    def _close(self, _rest: str, _answer: cmd.Command) -> RefusalReason | None:
        return refusal(self.session, cmd.Close())

    def _fit(self, fault: str, _answer: cmd.Command) -> RefusalReason | None:
        known = self.session.view.flow.faults.get(fault)
        way = usual_alternative(known.remedy) if known else ""
        return refusal(
            self.session, cmd.RecordRepair(fault, RepairOutcome.FITTED, reason=WHY, alternative=way)
        )

    def _answer(self, rest: str, _answer: cmd.Command) -> RefusalReason | None:
        where, _, said = rest.partition(":")
        inspection, _, step = where.partition(".")
        below = [r for r in map(self.session.state.find_run, self.session.state.stack) if r is not None]
        target = next((r for r in below if r.inspection == inspection), self._run)
        return refusal(self.session, cmd.GiveAnswer(target.id, step, said))

    def _open(self, name: str, _answer: cmd.Command) -> RefusalReason | None:
        """At the door, tried on a copy. What is asked before its step is a refusal: its needs don't hold."""
        copy = Session(self.session.view, _nowhere, self._clock)
        if refused := refusal(copy, cmd.OpenInspection(name)):
            return refused
        run = copy.state.run
        return None if run is not None and run.inspection == name else RefusalReason.NEEDS

    def _jump(self, where: str, _answer: cmd.Command) -> RefusalReason | None:
        """A journal that was edited to stand at a step: nothing that it needs was asked, and it is answered there."""
        inspection, _, step = where.partition(".")
        state = self.session.state
        entered = Entered(run=len(state.runs) + 1, inspection=inspection, step=step, phase=Phase.BEFORE)
        copy = Session(self.session.view.at(self._edited(entered)), _nowhere, self._clock)
        found = copy.flow.inspections[inspection].step(step)
        said = found.answers[0].id if found is not None and found.answers else ""
        return refusal(copy, cmd.GiveAnswer(entered.run, step, said))

    def _forge(self, rest: str, answer: cmd.Command) -> RefusalReason | None:
        """A journal that was edited to believe something of the machine, loaded: the step at hand is answered."""
        condition, _, value = rest.partition(":")
        run = self._run
        claimed = Answered(
            run=run.id, step=run.at, answer="forged", how=AnswerHow.ANSWER, goes=run.at,
            belief={condition: frozenset((value,))},
        )  # fmt: skip
        last = self._records[-1]
        records = [*self._records, Recorded(last.seq + 1, last.at, 0.0, claimed)]
        copy = Session.resume(self.session.flow, tuple(records), _nowhere, self._clock)
        return refusal(copy, answer)

    def _edited(self, event: Event) -> State:
        state = self.session.state
        return fold(state, Recorded(state.seq + 1, state.at, 0.0, event))

    def _undo(self, _rest: str, answer: cmd.Command) -> RefusalReason | None:
        return refusal(self.session, cmd.Undo()) or refusal(self.session, answer)

    def _leave(self, _rest: str, answer: cmd.Command) -> RefusalReason | None:
        return refusal(self.session, cmd.Leave()) or refusal(self.session, answer)

    def _correct(self, rest: str, answer: cmd.Command) -> RefusalReason | None:
        where, _, said = rest.partition(":")
        given = (g for g in self.session.state.given if f"{g.inspection}.{g.step}" == where and not g.aside)
        latest = max((g.seq for g in given), default=0)
        return refusal(self.session, cmd.Correct(latest, said, WHY)) or refusal(self.session, answer)

    def _restart(self, _rest: str, answer: cmd.Command) -> RefusalReason | None:
        records = tuple(self._records)
        self.session = Session.resume(self.session.flow, records, self._records.append, self._clock)
        return refusal(self.session, answer)

    def _break(self, _rest: str, answer: cmd.Command) -> RefusalReason | None:
        return refusal(self.session, cmd.Pause()) or refusal(self.session, answer)

    def _pause(self, seconds: str, answer: cmd.Command) -> RefusalReason | None:
        self._clock.pass_by(float(seconds))
        return refusal(self.session, answer)


_VERBS: dict[str, Callable[[Attempts, str, cmd.Command], RefusalReason | None]] = {
    "skip": Attempts._skip,
    "close": Attempts._close,
    "fit": Attempts._fit,
    "answer": Attempts._answer,
    "open": Attempts._open,
    "jump": Attempts._jump,
    "forge": Attempts._forge,
    "undo": Attempts._undo,
    "leave": Attempts._leave,
    "correct": Attempts._correct,
    "restart": Attempts._restart,
    "break": Attempts._break,
    "pause": Attempts._pause,
}


def refusal(session: Session, command: cmd.Command) -> RefusalReason | None:
    """The reason that a command is refused for, or None when it was done."""
    try:
        session.do(command)
    except Refused as problem:
        return problem.reason
    return None


def _nowhere(_record: Recorded) -> None:
    """Keep nothing: the copy is only looked at."""
