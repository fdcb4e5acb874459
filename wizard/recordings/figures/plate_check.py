"""The speed that was found, held against the top spin speed on the machine's plate."""

from __future__ import annotations

import math

import numpy as np

from wizard.recordings.course.line_strength import LineStrength
from wizard.recordings.course.speed_ridge import SpeedRidge, speed_ridge
from wizard.recordings.course.spin_phases import PhaseStretch

OVER = 1.07
"""Times the plate's speed, beyond which no drum of that machine turns: a motor's slip and a plate's rounding (an
estimate)."""

SAME = 0.02
"""How far a speed may be from the plate's, or from a multiple of the drum's, and be taken for it (an estimate)."""

_LOOKED = 3.3  # times the plate's speed: up to the third order
_TOP = 0.9  # of the windows over the plate: the spin, above ramp and coast
_UNSEEN = 0.5  # of the windows in which the bounded ridge sees nothing
_TIMES = {2: ("twice", "second"), 3: ("three times", "third")}


def ridges(lines: LineStrength, plate: float | None) -> tuple[SpeedRidge, SpeedRidge | None]:
    """Return the drum's ridge, and the one that no plate bounds (None without a plate, turns a second).

    Where the drum's own line isn't seen and what stands out is an order of it by the plate, the ridge is that order's,
    divided by it; it isn't sure then, since a plate that was misread by half would give the same.
    """
    ridge = speed_ridge(lines, plate)
    if plate is None:
        return ridge, None
    free = speed_ridge(lines, None, _LOOKED * plate)
    fast = np.nan_to_num(free.speed) > OVER * plate
    order = order_over(float(np.quantile(free.speed[fast], _TOP)), plate) if fast.any() else None
    if order is None or float(np.mean(np.isnan(ridge.speed[fast]))) < _UNSEEN:
        return ridge, free
    return SpeedRidge(free.speed / order, free.score, free.margin, False), free


def unbounded(lines: LineStrength, free: SpeedRidge | None, stretch: PhaseStretch | None) -> float | None:
    """Return at what speed, turns a second, a drum would be seen that no plate bounds, in the spin or, without one,
    at its fastest; None where none would be.
    """
    if free is None or np.isnan(free.speed).all():
        return None
    if stretch is None:
        return float(np.nanquantile(free.speed, 0.95))
    inside = (lines.at > stretch.start) & (lines.at < stretch.end) & ~np.isnan(free.speed)
    return float(np.median(free.speed[inside])) if inside.any() else None


def order_over(found: float, plate: float) -> int | None:
    """Return of which order a speed is that no drum of this plate has: 2 for twice the plate's; None where of none.

    Both in one unit.
    """
    if found <= OVER * plate:
        return None
    return next((order for order in _TIMES if abs(found / order / plate - 1) <= SAME), None)


def plate_words(speed: float, known: float, plate: float, other: float | None) -> str:
    """Return what the plate says of a speed that was found: one or two sentences. All in rpm.

    ``known``: the speed's standard uncertainty. ``other``: what would be taken for the drum if no plate bounded it.
    """
    share = speed / plate
    if abs(speed - plate) <= max(2 * known, SAME * plate):
        says = f"That is the plate's top speed ({plate:.0f})."
    elif share < 1:
        says = f"That is {100 * share:.0f} % of the plate's top speed ({plate:.0f})."
    else:
        over = f"That is {speed - plate:.0f} rpm over the plate's top speed ({plate:.0f})."
        says = f"{over} Look at the plate again."
    more = over_words(other, plate, speed)
    return f"{says} {more}" if more else says


def over_words(other: float | None, plate: float, speed: float | None) -> str:
    """Return a sentence on a speed that stands out and that no drum of this plate has; empty where none does.

    ``speed``: what was taken for the drum, None where nothing was. All in rpm.
    """
    if other is None or other <= OVER * plate:
        return ""
    head = f"A line stands out most at {other:.0f} rpm"
    order = order_over(other, plate)
    if order:
        times, name = _TIMES[order]
        return f"{head}, {times} the plate's speed: the {name} order, not the drum."
    if speed and (whole := round(other / speed)) > 1 and math.isclose(other / speed, whole, rel_tol=SAME):
        return f"{head}, {whole} times the drum's speed and over the plate's: an order of it, not the drum."
    other_thing = "a motor, a pump, or a plate that was misread. Look at it again."
    return f"{head}, over the plate's speed and no order of the drum: {other_thing}"
