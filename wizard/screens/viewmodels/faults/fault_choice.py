"""The decision as it stands on the screen: the faults offered and those ticked, and what they leave to ask."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from wizard.documents.content.search_coverage import SearchCoverage, search_coverage
from wizard.engine.guidance.session_ranking import RankedFault, Residual
from wizard.engine.queries import proof_queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.screens.viewmodels.faults.advice_rows import stake_line
from wizard.screens.viewmodels.faults.fault_rows import FaultRow, fault_rows, second_lines, toggled

if TYPE_CHECKING:
    from wizard.diagnosis.next_inspection.candidates import Counsel

TICK = "Tick what explains the complaint. Nothing ticked: no fault was found."
BESIDES = "Tick what else it is, besides what was repaired. Nothing ticked: nothing else."
LEFT = "A proof failed. Tick what is left. Nothing ticked: nothing else was found."
WRONG = "A proof failed. Tick what is wrong. Nothing ticked: what causes it was not found."
NO_ROW = "No fault of this flow fits this machine. Enter confirms that none was found."


@dataclass(frozen=True, slots=True)
class FaultChoice:
    """The rows in the order of the ranking (``ranked``), those ticked, and those that were decided before.

    After a repair it is what is left that is decided: what was ``repaired`` is none of them, unless it is ticked again.
    ``proof_failed``: that is asked since a proof failed. ``seen``: how much of the search was looked at.
    """

    flow: Flow
    ticked: frozenset[str]
    before: frozenset[str]
    ranked: tuple[RankedFault, ...] = ()
    rows: tuple[FaultRow, ...] = ()
    repaired: frozenset[str] = frozenset()
    proof_failed: bool = False
    seen: SearchCoverage = field(default_factory=lambda: SearchCoverage((), ()))

    @property
    def faults(self) -> tuple[str, ...]:
        """The ticked ones in their order."""
        return tuple(row.fault for row in self.rows if row.fault in self.ticked)

    @property
    def task(self) -> str:
        """What is done here: first, after a repair, and after a proof that failed."""
        if self.proof_failed:
            return WRONG if self.unrepaired else LEFT
        return BESIDES if self.repaired else TICK

    @property
    def unrepaired(self) -> bool:
        """True where nothing that is a fault was repaired: at most it was said that nothing is wrong."""
        return not any(map(self.flow.may_repair, self.repaired))

    @property
    def unchanged(self) -> bool:
        """True where what is ticked was decided before."""
        return self.ticked == self.before

    @property
    def early(self) -> bool:
        """True where nothing is ticked, or what excludes all others, and not all of the search was looked at."""
        none = all(self.flow.faults[fault].alone for fault in self.ticked)
        return none and not self.seen.whole

    @property
    def digits(self) -> str:
        """The digits that tick, as the key table writes them: '1,2,3'; empty where none does."""
        return ",".join(str(row.digit) for row in self.rows if row.digit)

    def numbered(self, digit: int) -> FaultRow | None:
        """The row with that digit."""
        return next((row for row in self.rows if row.digit == digit), None)

    def at(self, index: int) -> FaultRow | None:
        """The row at that place in the list."""
        return self.rows[index] if index < len(self.rows) else None

    def toggled(self, fault: str) -> frozenset[str]:
        """What is ticked once this one was ticked or unticked."""
        return toggled(self.flow, self.ticked, fault)

    def left(self, second: Residual | None, counsel: Counsel | None, wide: bool) -> list[str]:
        """What the ticked faults leave to ask (``second``: what stays unexplained), as sentences.

        With nothing ticked it is what is advised: whether a check is still worth its minutes. Where there is room, and
        what leads is ticked: what rests on it.
        """
        if not self.ticked:
            return [counsel.says] if counsel else []
        lines = second_lines(self.flow, second, self.ticked, self.ranked) if second else []
        stake = counsel.stake if counsel and wide else None
        return (
            [*lines, stake_line(self.flow, stake)] if stake and stake.leader.fault in self.ticked else lines
        )


def begin_choice(view: JobView, ticks: frozenset[str] | None) -> FaultChoice:
    """Return the decision before anything is ranked; ``ticks`` are None until a tick changes what was decided."""
    repaired = frozenset(r.fault for r in view.state.repairs if r.holds)
    before, failed = (
        frozenset(view.state.decided or ()) - repaired,
        proof_queries.failed_proof(view) is not None,
    )
    ticked, seen = before if ticks is None else ticks, search_coverage(view)
    return FaultChoice(view.flow, ticked, before, repaired=repaired, proof_failed=failed, seen=seen)


def ranked_choice(
    choice: FaultChoice, ranked: Sequence[RankedFault], decided: Collection[str]
) -> FaultChoice:
    """Return it with a ranking; ``decided`` are the faults that are said to be so.

    What was decided and repaired stands as such, and not as what may be there in spite of it, while no proof failed.
    """
    rows = fault_rows(choice.flow, ranked, choice.ticked, decided)
    if not choice.proof_failed:
        rows = tuple(_repaired(choice, row) for row in rows)
    return replace(choice, ranked=tuple(ranked), rows=rows)


def _repaired(choice: FaultChoice, row: FaultRow) -> FaultRow:
    if row.fault not in choice.repaired:
        return row
    return replace(row, says=f"{choice.flow.faults[row.fault].says} (repaired)")
