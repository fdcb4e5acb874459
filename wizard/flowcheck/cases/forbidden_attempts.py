"""Attempts to get past a rule. Each is made on the session as it stands and must be refused.

``skip``, ``close``, ``fit:fault`` and ``answer:inspection.step:answer`` must be refused themselves;
``open:inspection`` at the door, or something must be asked before its step. After ``undo``, ``leave``, ``restart``,
``break``, ``pause:seconds`` and ``correct:inspection.step:answer``, which may be done, the answer to the step at
hand must be refused. Two are made on a copy whose journal was edited: ``jump:inspection.step`` stands at a step that
nothing led to, ``forge:condition:value`` believes what no step established; then the answer must be refused.
"""

from __future__ import annotations

from collections.abc import Callable

from wizard.domain.chosen_answers import read_chosen
from wizard.domain.vocabulary import AnswerHow, Phase, RefusalReason, RepairOutcome
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Answered, Entered, Event, Recorded
from wizard.engine.messages.repair_parts import usual_alternative
from wizard.engine.session import Session
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import Run, State
from wizard.errors import Refused
from wizard.flow.model import Flow
from wizard.flow.model.case import Attempt
from wizard.flowcheck.cases.case_result import Tried
from wizard.flowcheck.model.manual_clock import CaseClock

WHY = "Tried to get past."


class Attempts:
    """Tries what a case wants tried on a session that keeps its events in ``records`` and its time in ``clock``."""

    def __init__(self, session: Session, records: list[Recorded], clock: CaseClock) -> None:
        self.session = session
        self.records = records
        self.clock = clock

    def make(self, attempt: Attempt, answer: cmd.Command) -> Tried:
        """Make an attempt; ``answer`` is what would be said to the step at hand. CaseFailed if it can't be made."""
        verb, _, rest = attempt.do.partition(":")
        refused = _VERBS[verb](self, rest, answer)
        return Tried(attempt.at, attempt.do, refused, refused is attempt.refused)

    @property
    def run(self) -> Run:
        """The run of the step at hand."""
        run = self.session.state.run
        assert run is not None, "an attempt is made when a step is asked"
        return run


def _skip(on: Attempts, _rest: str, _answer: cmd.Command) -> RefusalReason | None:
    return refusal(on.session, cmd.Skip(on.run.inspection, WHY))


def _close(on: Attempts, _rest: str, _answer: cmd.Command) -> RefusalReason | None:
    return refusal(on.session, cmd.Close())


def _fit(on: Attempts, fault: str, _answer: cmd.Command) -> RefusalReason | None:
    known = on.session.view.flow.faults.get(fault)
    way = usual_alternative(known.remedy) if known else ""
    return refusal(on.session, cmd.RecordRepair(fault, RepairOutcome.FITTED, reason=WHY, alternative=way))


def _answer(on: Attempts, rest: str, _answer: cmd.Command) -> RefusalReason | None:
    where, _, said = rest.partition(":")
    inspection, _, step = where.partition(".")
    below = [r for r in map(on.session.state.find_run, on.session.state.stack) if r is not None]
    target = next((r for r in below if r.inspection == inspection), on.run)
    chosen = _chosen(on.session.flow, target.inspection, step, said)
    return refusal(on.session, cmd.GiveAnswer(target.id, step, chosen))


def _open(on: Attempts, name: str, _answer: cmd.Command) -> RefusalReason | None:
    """At the door, tried on a copy. What is asked before its step is a refusal: its needs don't hold."""
    copy = Session(on.session.view, _nowhere, on.clock)
    if refused := refusal(copy, cmd.OpenInspection(name)):
        return refused
    run = copy.state.run
    return None if run is not None and run.inspection == name else RefusalReason.NEEDS


def _jump(on: Attempts, where: str, _answer: cmd.Command) -> RefusalReason | None:
    """A journal that was edited to stand at a step: nothing that it needs was asked, and it is answered there."""
    inspection, _, step = where.partition(".")
    state = on.session.state
    entered = Entered(run=len(state.runs) + 1, inspection=inspection, step=step, phase=Phase.BEFORE)
    copy = Session(on.session.view.at(_edited(on.session, entered)), _nowhere, on.clock)
    found = copy.flow.inspections[inspection].step(step)
    said = (found.answers[0].id,) if found is not None and found.answers else ()
    return refusal(copy, cmd.GiveAnswer(entered.run, step, said))


def _forge(on: Attempts, rest: str, answer: cmd.Command) -> RefusalReason | None:
    """A journal that was edited to believe something of the machine, loaded: the step at hand is answered."""
    condition, _, value = rest.partition(":")
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


def _undo(on: Attempts, _rest: str, answer: cmd.Command) -> RefusalReason | None:
    return refusal(on.session, cmd.Undo()) or refusal(on.session, answer)


def _leave(on: Attempts, _rest: str, answer: cmd.Command) -> RefusalReason | None:
    return refusal(on.session, cmd.Leave()) or refusal(on.session, answer)


def _correct(on: Attempts, rest: str, answer: cmd.Command) -> RefusalReason | None:
    where, _, said = rest.partition(":")
    given = (g for g in on.session.state.given if f"{g.inspection}.{g.step}" == where and not g.aside)
    latest = max((g.seq for g in given), default=0)
    inspection, _, step = where.partition(".")
    chosen = _chosen(on.session.flow, inspection, step, said)
    return refusal(on.session, cmd.Correct(latest, chosen, WHY)) or refusal(on.session, answer)


def _chosen(flow: Flow, inspection: str, name: str, said: str) -> tuple[str, ...]:
    """What an attempt says to a step; of one that isn't there the text as it is, which the engine refuses."""
    known = flow.inspections.get(inspection)
    step = known.step(name) if known is not None else None
    return read_chosen(said, step is not None and step.many)


def _restart(on: Attempts, _rest: str, answer: cmd.Command) -> RefusalReason | None:
    records = tuple(on.records)
    on.session = Session.resume(on.session.flow, records, on.records.append, on.clock)
    return refusal(on.session, answer)


def _break(on: Attempts, _rest: str, answer: cmd.Command) -> RefusalReason | None:
    return refusal(on.session, cmd.Pause()) or refusal(on.session, answer)


def _pause(on: Attempts, seconds: str, answer: cmd.Command) -> RefusalReason | None:
    on.clock.pass_by(float(seconds))
    return refusal(on.session, answer)


_VERBS: dict[str, Callable[[Attempts, str, cmd.Command], RefusalReason | None]] = {
    "skip": _skip,
    "close": _close,
    "fit": _fit,
    "answer": _answer,
    "open": _open,
    "jump": _jump,
    "forge": _forge,
    "undo": _undo,
    "leave": _leave,
    "correct": _correct,
    "restart": _restart,
    "break": _break,
    "pause": _pause,
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
