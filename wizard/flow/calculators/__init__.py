"""The closed table of calculators that a compute step may name: what goes in, what comes out, in which unit.

The arithmetic is the engine's; a flow only names it, so nothing in a file is ever evaluated.
"""

from __future__ import annotations

from wizard.flow.calculators import drum, levels, readings, services, tub
from wizard.flow.calculators.form import SAME, Calculator, Choice, Input, Setting

__all__ = ["CALCULATORS", "SAME", "Calculator", "Choice", "Input", "Setting"]

_ROWS: tuple[Calculator, ...] = (*readings.ROWS, *levels.ROWS, *tub.ROWS, *drum.ROWS, *services.ROWS)
CALCULATORS = {row.id: row for row in _ROWS}
"""Every calculator by its id."""
