"""What is done next where the advice is followed instead of the flow's own order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.domain.vocabulary import NextKind
from wizard.engine.guidance.advice_candidates import open_inspections
from wizard.engine.queries import next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_view import JobView

if TYPE_CHECKING:
    from wizard.diagnosis.next_inspection.candidates import Counsel


def searching(view: JobView, coming: NextUp) -> bool:
    """True while there may be something to advise: a check or the decision comes next, and nothing is decided, or what
    was decided left a fault.
    """
    if coming.kind is NextKind.DECIDE:
        return True
    return coming.kind is NextKind.INSPECT and view.state.decided is None


def follow(view: JobView, counsel: Counsel | None) -> NextUp:
    """The next thing by the advice: the best check until enough is known, then what is owed, then the decision.

    The flow's own order stands before the search and after the decision. What is always owed comes before that.
    Nothing that is needed is ever passed over
    by it: opening what is advised asks for that first, as anything does.
    """
    flow = view.flow
    coming = next_queries.next_up(view)
    if counsel is None or not searching(view, coming):
        return coming
    open_ = {i.id for i in open_inspections(view)}
    if not counsel.enough:
        first = counsel.inspections[0]
        return NextUp(NextKind.INSPECT, first.id, first.why, short="tells most")
    for inspection in (flow.inspections[i] for i in flow.find if i in open_):
        if inspection.owed:
            return NextUp(
                NextKind.INSPECT,
                inspection.id,
                f"{inspection.title}: always asked before a decision.",
                short="always due",
            )
    for fault, tests in counsel.owed.items():
        if test := next((t for t in tests if t in open_), ""):
            title, says = flow.inspections[test].title, flow.faults[fault].says
            return NextUp(
                NextKind.INSPECT,
                test,
                f"{title}: it must confirm, before a part is fitted: {says}.",
                short="to confirm",
            )
    return NextUp(NextKind.DECIDE, "", counsel.says, short="enough")
