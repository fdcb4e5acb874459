"""A case as a source of answers: what is scripted is said, everything else gets the usual answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wizard.engine import derive, judging
from wizard.engine.derive import NextUp
from wizard.engine.ranking import ranking
from wizard.engine.source import Repaired, Reply
from wizard.engine.state import Given, Run, State
from wizard.errors import CaseFailed
from wizard.flow.case import TOP, Case, CaseAnswer
from wizard.flow.model import Fact, Fault, Flow, Step
from wizard.measure import units

PERSON = "Second person"
"""The name that a case gives to whoever helps."""


class Script:
    """The answers of one case. CaseFailed says what the case would have to give and doesn't."""

    def __init__(self, case: Case) -> None:
        self.case = case

    def fact(self, flow: Flow, state: State, fact: Fact) -> str:
        """The fact as the case gives it, else its usual value; an open one may stay open."""
        value = self.case.facts.get(fact.id, fact.usual)
        if not value and fact.required:
            if fact.values:
                raise CaseFailed(
                    f'fact "{fact.id}" has no usual value. Give it in the case, or mark one in the flow.'
                )
            return "not given"
        return value

    def complaint(self, flow: Flow, state: State) -> str:
        """The complaint that the flow is about."""
        return flow.complaint

    def person(self, flow: Flow, state: State) -> str:
        """Somebody always helps."""
        return PERSON

    def coming(self, flow: Flow, state: State) -> NextUp:
        """The flow's own order, or that of the case; what the case passes over is passed over."""
        coming = derive.next_up(flow, state)
        if self.case.order is not None and coming.kind in ("inspect", "decide") and state.decided is None:
            left = (i for i in self.case.order if derive.pending(flow, state, i))
            first = next(left, "")
            coming = NextUp("inspect" if first else "decide", first, "The order of the case.")
        name = f"recheck:{coming.target}" if coming.kind == "recheck" else coming.target
        if coming.kind in ("inspect", "recheck") and name in self.case.skip:
            return NextUp("skip", coming.target, self.case.skip[name])
        return coming

    def reply(self, flow: Flow, state: State, run: Run, step: Step) -> Reply:
        """The scripted answer, else the usual one."""
        where = f"{run.inspection}.{step.id}"
        given = self._given(state, run, where)
        return (
            usual(step, state.facts, run.inspection)
            if given is None
            else reply(given, step, state.facts, where)
        )

    def _given(self, state: State, run: Run, where: str) -> CaseAnswer | None:
        """The answer of the case: once something is mended, those of ``after`` come first.

        What was answered before the repair is not said again after it, but for gates, and for what is asked only then.
        """
        if where in self.case.after and (mended(state) or run.phase == "after"):
            before = [g for g in state.given if is_after(state, g)]
            return turn(self.case.after[where], before, where)
        first = run.phase == "before" or not derive.runs_of(state, run.inspection, "before")
        return turn(self.case.answers.get(where), state.given, where) if first else None

    def faults(self, flow: Flow, state: State) -> tuple[str, ...]:
        """The faults that the case confirms."""
        if self.case.confirm != TOP:
            return self.case.confirm
        ranked = ranking(flow, state)
        return (ranked[0].fault,) if ranked else ()

    def repair(self, flow: Flow, state: State, fault: Fault) -> Repaired:
        """Fitted, unless the case says otherwise for this visit."""
        outcomes = self.case.repairs.get(fault.id, ("fitted",))
        outcome = outcomes[min(len(state.visits), len(outcomes)) - 1]
        told = fault.remedy.risk or "The customer was told the risk."
        return Repaired(outcome, told if outcome == "declined" else "")


def mended(state: State) -> int:
    """The number of the event at which something was first mended, or 0."""
    return min((r.seq for r in state.repairs if r.outcome == "fitted"), default=0)


def is_after(state: State, given: Given) -> bool:
    """True for an answer that stands under ``after`` in a case: of a proof, or given once something was mended."""
    return given.phase == "after" or 0 < mended(state) < given.seq


def turn(scripted: CaseAnswer | None, given: Iterable[Given], where: str) -> CaseAnswer | None:
    """The scripted answer whose turn it is, by how often the step was answered already."""
    if scripted is None or scripted.kind != "turns":
        return scripted
    count = sum(f"{g.inspection}.{g.step}" == where for g in given)
    return scripted.turns[min(count, len(scripted.turns) - 1)]


def usual(step: Step, facts: Mapping[str, str], inspection: str) -> Reply:
    """What a healthy machine gives. CaseFailed if the flow marks nothing as usual there."""
    if step.kind == "compute":
        return Reply("readings")
    if step.reading is not None:
        if step.reading.usual is None:
            raise CaseFailed(
                f"{inspection}.{step.id} has no usual reading. Answer it in the case, or give the step one."
            )
        return _typed(step, facts, (units.from_si(step.reading.usual, step.reading.unit),))
    if step.usual is not None:
        return Reply("answer", step.usual.id)
    if len(step.answers) == 1:
        return Reply("answer", step.answers[0].id)
    if step.many:
        return Reply("answer", "none")
    raise CaseFailed(
        f"{inspection}.{step.id} has no usual answer. Answer it in the case, or mark one as usual."
    )


def reply(given: CaseAnswer, step: Step, facts: Mapping[str, str], where: str) -> Reply:
    """What a scripted answer says to a step. CaseFailed if the step can't take it."""
    if given.kind in ("unable", "not-fitted"):
        return Reply("unable" if given.kind == "unable" else "not-fitted", reason=given.reason)
    if given.kind == "stop":
        return Reply("stop", given.reason)
    if (given.kind == "readings") != (step.kind == "measure"):
        kind = "measured" if step.kind == "measure" else "chosen" if step.kind != "compute" else "computed"
        raise CaseFailed(f"{where} is {kind}; the case answers it otherwise.")
    if given.kind == "answer":
        return Reply("answer", "+".join(given.ids) or "none")
    try:
        return _typed(step, facts, given.numbers)
    except ValueError as problem:
        raise CaseFailed(f"{where}: {problem}.") from problem


def _typed(step: Step, facts: Mapping[str, str], numbers: tuple[float, ...]) -> Reply:
    """Numbers in the step's unit as they would be typed, one for each slot."""
    assert step.reading is not None
    count = len(judging.slots(step.reading, facts))
    spread = CaseAnswer("readings", numbers=numbers).spread(count)
    return Reply("readings", typed=tuple(f"{number:.12g}" for number in spread))
