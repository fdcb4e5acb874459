"""A case whose job follows the advice instead of the flow's own order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from wizard.engine import derive
from wizard.engine.advising import advice
from wizard.engine.derive import NextUp
from wizard.engine.events import Answered, Entered, Recorded, Repaired
from wizard.engine.following import follow
from wizard.engine.state import Run, State
from wizard.flow.case import Case, CaseAnswer
from wizard.flow.model import Flow
from wizard.proof.cases import Played
from wizard.proof.play import play
from wizard.proof.script import Script, mended


class Advised(Script):
    """As the case's script; but until enough is known it goes where the advice sends it.

    ``as_came`` are the steps that the flow's own order asks before anything is mended. What the case answers there is
    the machine as it came, so it is not said of the mended machine where the advice comes to the step only then.
    """

    def __init__(self, case: Case, as_came: frozenset[str] = frozenset()) -> None:
        super().__init__(case)
        self._as_came = as_came

    def coming(self, flow: Flow, state: State) -> NextUp:
        """The advice, for whatever the case does not pass over."""
        coming = derive.next_up(flow, state)
        if state.decided is not None or coming.kind not in ("inspect", "decide"):
            return super().coming(flow, state)
        advised = follow(flow, state, advice(flow, state))
        if advised.target in self.case.skip:
            return NextUp("skip", advised.target, self.case.skip[advised.target])
        return advised

    def _given(self, state: State, run: Run, where: str) -> CaseAnswer | None:
        if mended(state) and where in self._as_came and where not in self.case.after:
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
        return self.advice.as_table() | {"follow": "advice", "order": beside}


def compare(flow: Flow, case: Case) -> Compared:
    """Play a case by the flow's own order, then by the advice. Nothing is raised for a case that fails."""
    order = play(flow, case)
    return Compared(order, play(flow, case, Advised(case, as_came(order.records))))


def as_came(records: Iterable[Recorded]) -> frozenset[str]:
    """The steps, ``inspection.step``, that were answered before anything was mended."""
    runs: dict[int, str] = {}
    found: set[str] = set()
    for record in records:
        event = record.event
        if isinstance(event, Repaired) and event.outcome == "fitted":
            break
        if isinstance(event, Entered):
            runs[event.run] = event.inspection
        elif isinstance(event, Answered):
            found.add(f"{runs[event.run]}.{event.step}")
    return frozenset(found)
