"""What is advised, as lines: the one on the job map, and the sheet of every open inspection."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.diagnosis.checks import WORTH
from wizard.engine import derive
from wizard.engine.advising import advice
from wizard.engine.derive import NextUp
from wizard.engine.following import follow, lifting
from wizard.engine.state import State
from wizard.flow.model import Flow

if TYPE_CHECKING:
    from wizard.diagnosis.checks import Advice, Counsel

GATES = "The gates on the way are in the minutes. None is ever left out."


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
        return self.counsel is not None and self.coming.kind in ("inspect", "decide")


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One open inspection: minutes all told, minutes it is expected to save, what it is worth in a word, and why."""

    inspection: str
    title: str
    minutes: float
    saves: float
    worth: str
    why: str


def ahead(flow: Flow, state: State) -> Ahead:
    """Reckon the advice: on a thread of its own, for numpy comes with it. Nothing is advised once it is decided."""
    coming = derive.next_up(flow, state)
    if state.job != "working" or state.decided is not None or coming.kind not in ("inspect", "decide"):
        return Ahead(state.seq, None, coming, True)
    counsel = advice(flow, state)
    advised = follow(flow, state, counsel)
    same = (advised.kind, advised.target) == (coming.kind, coming.target)
    return Ahead(state.seq, counsel, advised, same)


def advised_line(found: Ahead) -> str:
    """'Advised: Bounce of the tub: 18 min, and it tells most about ...'; empty where nothing is advised."""
    if not found.open:
        return ""
    if found.coming.kind == "decide":
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


def sheet_lines(flow: Flow, state: State, counsel: Counsel) -> list[str]:
    """Where things stand, what is still owed before a part goes in, and what a proof still needs."""
    lines = [counsel.says]
    for fault, tests in counsel.owed.items():
        titles = " or ".join(flow.inspections[test].title for test in tests)
        lines.append(f"Before a part is fitted for {flow.faults[fault].says}: {titles}.")
    if part := lifting(flow, state):
        lines.append(f"Before a proof: {flow.inspections[part].title}.")
    return [*lines, GATES]
