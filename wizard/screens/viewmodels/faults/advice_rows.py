"""What is advised, as lines: the one on the job map, and the sheet of every open inspection."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.domain.vocabulary import JobState, Lead, NextKind
from wizard.engine.guidance import advice_order
from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.guidance.advice_order import follow
from wizard.engine.queries import next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow

if TYPE_CHECKING:
    from wizard.diagnosis.next_inspection.candidates import Advice, Counsel, Stake

ASKED_FIRST = "What is asked first is in the minutes. None of it is ever left out."


@dataclass(frozen=True, slots=True)
class Ahead:
    """What is advised for the state with this ``seq``: the whole counsel, and what comes next by it.

    ``order`` is what comes next in the flow's own order, ``lead`` which of the two the flow goes by.
    """

    seq: int
    counsel: Counsel | None
    coming: NextUp
    order: NextUp
    lead: Lead = Lead.EVIDENCE

    @property
    def usual(self) -> bool:
        """True when the advice is what comes next in the flow's own order."""
        return (self.coming.kind, self.coming.target) == (self.order.kind, self.order.target)

    @property
    def next(self) -> NextUp:
        """What the technician is led to."""
        return self.coming if self.open and self.lead is Lead.EVIDENCE else self.order

    @property
    def other(self) -> NextUp | None:
        """What stays a key away; None where it is the same."""
        if self.usual or not self.open:
            return None
        return self.order if self.lead is Lead.EVIDENCE else self.coming

    @property
    def open(self) -> bool:
        """True while there is something to advise: in the search, until the decision."""
        return self.counsel is not None and self.coming.kind in (NextKind.INSPECT, NextKind.DECIDE)


@dataclass(frozen=True, slots=True)
class InspectionRow:
    """One open inspection: its minutes in total, minutes it is expected to save, what it is worth in a word, and
    why.
    """

    inspection: str
    title: str
    minutes: float
    saves: float
    worth: str
    why: str


def ahead(view: JobView) -> Ahead:
    """Compute the advice: on its own thread, for numpy comes with it. Nothing is advised once it is decided."""
    coming, lead = next_queries.next_up(view), view.flow.lead
    if not searching(view, coming):
        return Ahead(view.state.seq, None, coming, coming, lead)
    counsel = advice(view)
    return Ahead(view.state.seq, counsel, follow(view, counsel), coming, lead)


def searching(view: JobView, order: NextUp) -> bool:
    """True while there may be something to advise: at work, and a check of the search or the decision next in order."""
    return view.state.job is JobState.WORKING and advice_order.searching(view, order)


def advised_line(found: Ahead) -> str:
    """'Advised: Bounce of the tub: 18 min, and it tells most about ...'; empty where nothing is advised."""
    if not found.open:
        return ""
    if found.coming.kind is NextKind.DECIDE:
        return f"Advised: decide. {found.coming.why}"
    return f"Advised{', and next in order' if found.usual else ''}: {found.coming.why}"


def order_line(flow: Flow, found: Ahead) -> str:
    """'In the flow's order: Feet'; empty where the advice leads there too, or where the order leads."""
    if found.lead is Lead.ORDER or found.other is None:
        return ""
    inspection = flow.inspections.get(found.order.target)
    return f"In the flow's order: {inspection.title if inspection else 'decide'}."


def inspection_rows(flow: Flow, counsel: Counsel) -> tuple[InspectionRow, ...]:
    """Every open inspection, best first."""
    return tuple(
        InspectionRow(one.id, flow.inspections[one.id].title, one.minutes, one.saves, worth(one), one.why)
        for one in counsel.inspections
    )


def worth(check: Advice) -> str:
    """What a check is worth, in a word or two; 'with others': beside checks that the same way in opens."""
    if not check.about or check.saves < 0.05:
        return "tells nothing new"
    if check.confirms:
        return "only confirms"
    if not check.worth:
        return "tells little more"
    return "worth it" if check.saves >= check.least * check.minutes else "with others"


def sheet_lines(flow: Flow, counsel: Counsel) -> list[str]:
    """Where things stand, and what is still owed before a part goes in."""
    lines = [counsel.says]
    for fault, tests in counsel.owed.items():
        titles = " or ".join(flow.inspections[test].title for test in tests)
        lines.append(f"Before a part is fitted for {flow.faults[fault].says}: {titles}.")
    stake = [stake_line(flow, counsel.stake)] if counsel.stake else []
    return [*lines, *stake, ASKED_FIRST]


def stake_line(flow: Flow, stake: Stake) -> str:
    """What being wrong would cost, and what the best check left would save. The minutes are estimates."""
    from wizard.diagnosis.next_inspection.advice_text import stake_words

    title = flow.title_of(stake.inspection.id) if stake.inspection else ""
    return stake_words(stake, title)
