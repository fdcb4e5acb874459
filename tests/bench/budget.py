"""A budget that is kept or not: what was measured, against what, in the same run. All: ``python -m tests.bench``."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class BudgetRow:
    """One budget: ``found`` and its ``bound`` as ratios to ``against`` (or in the ``unit`` that is named)."""

    what: str
    against: str
    found: float
    bound: float
    unit: str = "x"
    least: bool = False

    @property
    def kept(self) -> bool:
        """True where it is within its bound: at most that, or, of what should be large, at ``least``."""
        return self.found >= self.bound if self.least else self.found <= self.bound

    @property
    def line(self) -> str:
        """Its row of the table."""
        sign = ">=" if self.least else "<="
        verdict = "pass" if self.kept else "SHORT"
        return (
            f"| {self.what} | {self.against} | {self.found:.3g} {self.unit} | {sign} {self.bound:.3g} {self.unit} "
            f"| {verdict} |"
        )


ROWS: list[BudgetRow] = []
"""What was measured in this process, in its order."""

HEAD = ("| budget | against, in the same run | found | bound | |", "|---|---|---|---|---|")


def within(
    what: str, found: float, bound: float, against: str, unit: str = "x", *, least: bool = False
) -> None:
    """Keep the row; AssertionError where it is short of its bound."""
    row = BudgetRow(what, against, found, bound, unit, least)
    ROWS.append(row)
    print(f"\n{row.line}")
    assert row.kept, row.line
