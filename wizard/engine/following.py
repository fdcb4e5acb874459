"""What is done next where the advice is followed instead of the flow's own order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.engine import derive
from wizard.engine.advising import open_inspections
from wizard.engine.derive import NextUp
from wizard.engine.state import State
from wizard.flow.model import Flow, Inspection

if TYPE_CHECKING:
    from wizard.diagnosis.checks import Counsel


def follow(flow: Flow, state: State, counsel: Counsel | None) -> NextUp:
    """The next thing by the advice: the best check until enough is known, then what is owed, then the decision.

    The flow's own order stands before the search and after the decision. No gate is ever passed over by it: opening
    what is advised goes through the gates on the way, as anything does.
    """
    coming = derive.next_up(flow, state)
    if counsel is None or coming.kind not in ("inspect", "decide") or state.decided is not None:
        return coming
    open_ = {i.id for i in open_inspections(flow, state)}
    if not counsel.enough:
        return _toward(flow, state, counsel.checks[0].id, counsel.checks[0].why)
    if part := lifting(flow, state):
        return NextUp("inspect", part, _lift_why(flow, state, flow.inspections[part]))
    for fault, tests in counsel.owed.items():
        if test := next((t for t in tests if t in open_), ""):
            title, says = flow.inspections[test].title, flow.faults[fault].says
            return _toward(flow, state, test, f"{title}: it must confirm, before a part is fitted: {says}.")
    return NextUp("decide", "", counsel.says)


def _toward(flow: Flow, state: State, inspection: str, why: str) -> NextUp:
    """To an inspection, or to the part that pays what is owed before it may be opened."""
    first = derive.owed_first(flow, state, inspection)
    if not first:
        return NextUp("inspect", inspection, why)
    return NextUp("inspect", first, f"{flow.inspections[first].title} comes first. {why}")


def lifting(flow: Flow, state: State) -> str:
    """The first open part of the search that may lift a bar in force, or empty: without it nothing is proved."""
    barred = derive.bars(state).keys()
    open_parts = (flow.inspections[i] for i in flow.find if derive.pending(flow, state, i))
    return next((i.id for i in open_parts if lifts(i) & barred), "")


def lifts(inspection: Inspection) -> frozenset[str]:
    """The bars that answers of an inspection lift."""
    return frozenset(bar for step in inspection.steps for answer in step.answers for bar in answer.lift)


def _lift_why(flow: Flow, state: State, inspection: Inspection) -> str:
    bar = next(b for b in derive.bars(state) if b in lifts(inspection))
    return f"{inspection.title}: needed before a proof. {flow.bars[bar].says}"
