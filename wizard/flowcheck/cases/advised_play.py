"""A case whose job follows the advice instead of the flow's own order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import takewhile
from typing import Any

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import CaseLead, NextKind, RepairOutcome
from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.guidance.advice_order import follow
from wizard.engine.messages.events import Event, Recorded, RepairDone
from wizard.engine.queries import next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.model.case_form import CaseAnswer
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.case_script import Script, first_repair
from wizard.flowcheck.cases.run_answers import run_answers


class Advised(Script):
    """As the case's script; but until enough is known it goes where the advice sends it.

    ``as_came`` are the steps that the flow's own order asks before anything is repaired. What the case answers there
    is the machine as it came, so it is not said of the repaired machine where the advice comes to the step only then.
    """

    def __init__(self, case: Case, as_came: frozenset[StepRef] = frozenset()) -> None:
        super().__init__(case)
        self._as_came = as_came

    def coming(self, view: JobView) -> NextUp:
        """The advice, for whatever the case does not pass over."""
        coming = next_queries.next_up(view)
        if view.state.decided is not None or coming.kind not in (NextKind.INSPECT, NextKind.DECIDE):
            return super().coming(view)
        advised = follow(view, advice(view))
        if advised.target in self.case.skip:
            return NextUp(NextKind.SKIP, advised.target, self.case.skip[advised.target])
        return advised

    def _given(self, state: State, run: Run, where: StepRef) -> CaseAnswer | None:
        if first_repair(state) and where in self._as_came and where not in self.case.after:
            return None
        return super()._given(state, run, where)


@dataclass(frozen=True, slots=True)
class Compared:
    """A case played twice: by the flow's own order, and by the advice."""

    order: Played
    advice: Played

    def as_table(self) -> dict[str, Any]:
        """The job by the advice, as plain dicts and lists, and beside it how the flow's own order ended."""
        order = self.order
        beside = {"ok": order.ok, "outcome": order.outcome, "top": order.top, "minutes": order.minutes}
        return self.advice.as_table() | {"follow": CaseLead.ADVICE, "order": beside}


def compare(flow: Flow, case: Case) -> Compared:
    """Play a case by the flow's own order, then by the advice. Nothing is raised for a case that fails."""
    order = play(flow, case)
    return Compared(order, play(flow, case, Advised(case, as_came(order.records))))


def as_came(records: Iterable[Recorded]) -> frozenset[StepRef]:
    """The steps that were answered before anything was repaired."""
    before = takewhile(lambda record: not _fitted(record.event), records)
    return frozenset(StepRef(run.inspection, event.step) for run, event in run_answers(before))


def _fitted(event: Event) -> bool:
    return isinstance(event, RepairDone) and event.outcome is RepairOutcome.FITTED
