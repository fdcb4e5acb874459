"""Run-out or play round a rim on a dial, by the hours of a clock: the readings, and the circle that fits them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from wizard.documents.charts.canvas import Mark, PlotFrame, Point, clockwise, draw
from wizard.documents.document_tree import Chart
from wizard.measure.quantities import units

_STEPS = 180
_RING, _SWING = 0.58, 0.24
"""Radius of the ring of the mean, and how far the largest departure from it is drawn."""


def dial(
    readings: Sequence[float | None], unit: str, columns: int = 34, rows: int = 15, plain: bool = False,
    uncertainty: float = 0.0,
) -> Chart:  # fmt: skip
    """The rim from the front, clockwise from 12; ``readings`` SI at equal angles, None for those to come.

    With five or more all read, the dots are the circle that fits (mean and once a turn); before, the ring of the
    mean. The departures are drawn large: the line under it says how large. Nothing read: the places alone.
    ``uncertainty``: standard, of one reading; the words have as many figures as it carries.
    """
    known = [(n, r) for n, r in enumerate(readings) if r is not None]
    angles = [2 * math.pi * n / len(readings) for n in range(len(readings))]
    mean = sum(r for _n, r in known) / len(known) if known else 0.0
    most = max((abs(r - mean) for _n, r in known), default=0.0)
    scale = _SWING / most if most > 0 else 0.0
    frame = PlotFrame(columns, rows, -columns / rows / 2, columns / rows / 2, -1.0, 1.0)
    fitted = _fitted(readings, mean)
    dots = [_at(a, (fitted(a) - mean) * scale) for a in (2 * math.pi * n / _STEPS for n in range(_STEPS))]
    marks = [
        Mark(clockwise(angles[n], _RING), "-" if plain else "·", True)
        for n, r in enumerate(readings)
        if r is None
    ]
    marks += [Mark(_at(angles[n], (r - mean) * scale), "o" if plain else "●", True) for n, r in known]
    marks += [
        Mark(clockwise(a, 0.99), _hour(n, len(readings)), True) for n, a in enumerate(angles) if _quarter(a)
    ]
    return Chart(draw(frame, dots, marks, plain), _words(known, unit, uncertainty))


def _quarter(angle: float) -> bool:
    """True for the top, the right, the bottom and the left, which get their hour."""
    return abs(math.sin(2 * angle)) < 1e-9


def _hour(n: int, count: int) -> str:
    return str(round(12 * n / count) or 12)


def _at(angle: float, out: float) -> Point:
    return clockwise(angle, _RING + out)


def _fitted(readings: Sequence[float | None], mean: float) -> Callable[[float], float]:
    """The once-a-turn circle through the readings, as a function of the angle; the mean while some are missing."""
    values = [r for r in readings if r is not None]
    if len(values) < len(readings) or len(values) < 5:
        return lambda _angle: mean
    from wizard.measure.mechanics import runout

    found = runout.harmonics(values)
    return lambda angle: found.mean + found.eccentricity * math.cos(angle - found.eccentricity_angle)


def _words(known: Sequence[tuple[int, float]], unit: str, u: float) -> tuple[str, ...]:
    if not known:
        return ("Nothing read yet.",)
    values = [r for _n, r in known]
    low, high = min(values), max(values)
    range_u = u * math.sqrt(2)
    text = f"{units.brief(low, unit, u)} to {units.brief(high, unit, u)}"
    return (f"{text}, range {units.brief(high - low, unit, range_u)}",)
