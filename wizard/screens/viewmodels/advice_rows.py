"""What is advised, as lines: the one on the job map, and the sheet of every open inspection."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.diagnosis.next_check.candidates import WORTH
from wizard.domain.vocabulary import JobState, NextKind
from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.guidance.advice_order import follow
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state import queries
from wizard.engine.state.job_state import State
from wizard.engine.state.queries import NextUp
from wizard.flow.model import Flow

if TYPE_CHECKING:
    from wizard.diagnosis.next_check.candidates import Advice, Counsel

ASKED_FIRST = "What is asked first is in the minutes. None of it is ever left out."


@dataclass(frozen=True, slots=True)
class Ahead:
    """What is advised for the state with this ``seq``: the whole counsel, and what comes next by it."""

    seq: int
    counsel: Counsel | None
    coming: NextUp
    usual: bool

    @property
    def open(self) -> bool:
        """True while there is something to advise: in the search, until the decision."""
        return self.counsel is not None and self.coming.kind in (NextKind.INSPECT, NextKind.DECIDE)


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One open inspection: minutes all told, minutes it is expected to save, what it is worth in a word, and why."""

    inspection: str
    title: str
    minutes: float
    saves: float
    worth: str
    why: str


def ahead(rules: Rules, state: State) -> Ahead:
    """Reckon the advice: on its own thread, for numpy comes with it. Nothing is advised once it is decided."""
    coming = queries.next_up(rules, state)
    if (
        state.job is not JobState.WORKING
        or state.decided is not None
        or coming.kind not in (NextKind.INSPECT, NextKind.DECIDE)
    ):
        return Ahead(state.seq, None, coming, True)
    counsel = advice(rules, state)
    advised = follow(rules, state, counsel)
    same = (advised.kind, advised.target) == (coming.kind, coming.target)
    return Ahead(state.seq, counsel, advised, same)


def advised_line(found: Ahead) -> str:
    """'Advised: Bounce of the tub: 18 min, and it tells most about ...'; empty where nothing is advised."""
    if not found.open:
        return ""
    if found.coming.kind is NextKind.DECIDE:
        return f"Advised: decide. {found.coming.why}"
    return f"Advised{', and next in order' if found.usual else ''}: {found.coming.why}"


def check_rows(flow: Flow, counsel: Counsel) -> tuple[CheckRow, ...]:
    """Every open inspection, best first."""
    return tuple(
        CheckRow(
            check.id, flow.inspections[check.id].title, check.minutes, check.saves, worth(check), check.why
        )
        for check in counsel.checks
    )


def worth(check: Advice) -> str:
    """What a check is worth, in a word or two; 'with others': beside checks that the same way in opens."""
    if not check.about or check.saves < 0.05:
        return "tells nothing new"
    if check.confirms:
        return "only confirms"
    if not check.worth:
        return "tells little more"
    return "worth it" if check.saves >= WORTH * check.minutes else "with others"


def sheet_lines(flow: Flow, counsel: Counsel) -> list[str]:
    """Where things stand, and what is still owed before a part goes in."""
    lines = [counsel.says]
    for fault, tests in counsel.owed.items():
        titles = " or ".join(flow.inspections[test].title for test in tests)
        lines.append(f"Before a part is fitted for {flow.faults[fault].says}: {titles}.")
    return [*lines, ASKED_FIRST]
