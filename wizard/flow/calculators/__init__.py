"""The closed table of calculators that a compute step may name: what goes in, what comes out, in which unit.

The arithmetic is the engine's; a flow only names it, so nothing in a file is ever evaluated.
"""

from __future__ import annotations

from wizard.flow.calculators import drum, levels, parts, readings, services, tub, walking
from wizard.flow.calculators.form import SAME, Calculator, Choice, Input, Setting

__all__ = ["CALCULATORS", "SAME", "Calculator", "Choice", "Input", "Setting"]

_FILES = (readings, levels, tub, drum, services, walking, parts)
_ROWS: tuple[Calculator, ...] = tuple(row for file in _FILES for row in file.ROWS)
CALCULATORS = {row.id: row for row in _ROWS}
"""Every calculator by its id."""
