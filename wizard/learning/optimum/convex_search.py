"""The lowest point of a smooth convex function within bounds, by projected Newton steps.

scipy's L-BFGS-B comes to the same point (tests compare them), and takes a hundred times as long for so few numbers
where the linear algebra library runs threads on cores that others use: 87 ms against 0.7 ms for 20 numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats

Curved: TypeAlias = Callable[[Floats], tuple[float, Floats, Floats]]
"""From a point (K) to the value there, the gradient (K) and the second derivatives (K x K)."""

MOST_STEPS, FLAT, FALLS, SHORTEST, RIDGE = 200, 1e-9, 1e-4, 1e-14, 1e-12


def lowest(function: Curved, start: Floats, low: float, high: float) -> Floats:
    """Return the point (K) between ``low`` and ``high`` in each number at which a convex function is lowest.

    Source: Bertsekas, Projected Newton methods (1982): a number at a bound that the slope pushes against is held.
    Raises ArithmeticError where the function is no number at the start, or the steps come to no end.
    """
    point = np.clip(start, low, high)
    value, slope, curve = function(point)
    if not np.isfinite(value):
        raise ArithmeticError(f"no number at the start of the search: {value}")
    for _ in range(MOST_STEPS):
        free = ~(((point <= low) & (slope > 0.0)) | ((point >= high) & (slope < 0.0)))
        if not free.any() or float(np.abs(slope[free]).max()) <= FLAT * (1.0 + abs(value)):
            return point
        step = np.zeros(point.size)
        inner = curve[np.ix_(free, free)]
        step[free] = np.linalg.solve(
            inner + RIDGE * (1.0 + np.trace(inner)) * np.eye(len(inner)), -slope[free]
        )
        there, found = _shorter(function, point, value, slope, step, low, high)
        if there is point:
            return point
        point, (value, slope, curve) = there, found
    raise ArithmeticError(f"the search has no end: {MOST_STEPS} steps")


def _shorter(
    function: Curved, point: Floats, value: float, slope: Floats, step: Floats, low: float, high: float
) -> tuple[Floats, tuple[float, Floats, Floats]]:
    """The point after the longest of the halved steps that goes down enough; ``point`` itself where none does."""
    part = 1.0
    while part > SHORTEST:
        there = np.clip(point + part * step, low, high)
        found = function(there)
        if np.isfinite(found[0]) and found[0] <= value + FALLS * float(slope @ (there - point)):
            return (point, found) if np.array_equal(there, point) else (there, found)
        part /= 2.0
    return point, function(point)
