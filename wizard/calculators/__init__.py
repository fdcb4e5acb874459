"""The closed table of calculators that a compute step may name: what goes in, what comes out, in which unit, and the
arithmetic. A flow only names one, so nothing in a file is ever evaluated.
"""

from __future__ import annotations

from wizard.calculators import (
    bearing_choice,
    heaters,
    hoses_and_bus,
    level,
    rotation,
    spin,
    statistics,
    suspension,
)
from wizard.calculators.declaration import SAME, Calculator, ChartKind, Choice, Input, Setting

__all__ = ["CALCULATORS", "SAME", "Calculator", "ChartKind", "Choice", "Input", "Setting"]

_FILES = (statistics, level, suspension, rotation, hoses_and_bus, spin, bearing_choice, heaters)
_ROWS: tuple[Calculator, ...] = tuple(row for file in _FILES for row in file.ROWS)
CALCULATORS = {row.id: row for row in _ROWS}
"""Every calculator by its id."""
