"""Levelling: the plane through the feet, the rock of the fourth, and the turns to give each foot.

x runs to the right and y to the front, seen from before the machine; slopes are in radians, positive when
the right or the front is high.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from wizard.measure.argument_checks import finite, items, not_negative, one_of, positive, series, truth

FEET = ("front-left", "front-right", "rear-left", "rear-right")
_SIDES = {"front-left": (-1, 1), "front-right": (1, 1), "rear-left": (-1, -1), "rear-right": (1, -1)}
_STEEPEST = math.radians(45)


@dataclass(frozen=True, slots=True)
class Plane:
    """Slopes of the best plane in radians, and the ``rock``: the feeler gap under the fourth foot with
    three standing.
    """

    side_slope: float
    front_slope: float
    rock: float


@dataclass(frozen=True, slots=True)
class Corners:
    """A tub by its four corners: leans in radians, ``twist`` and ``spread`` (highest less lowest) in m.

    ``lean_u``: the larger standard uncertainty of the two leans; ``twist_u`` of the twist; ``lowest`` the
    corner.
    """

    side_lean: float
    front_lean: float
    twist: float
    spread: float
    lowest: str
    lean_u: float
    twist_u: float


def plane(points: Iterable[Sequence[float]]) -> Plane:
    """Return the best plane through three or more ``points`` (x, y, height), all in m.

    ``rock`` is 0 for three points; for four it is the gap under one with the other three standing, the
    largest there is (the same for all of a rectangle); for more, twice the spread about the plane.
    ValueError naming ``points`` if they are fewer, not finite, two in one place, or all on one line.
    Source: least squares.
    """
    rows = [series("points", point) for point in items("points", points)]  # type: ignore[arg-type]
    if len(rows) < 3 or any(len(row) != 3 for row in rows):
        raise ValueError("points: needs three or more points of x, y and height")
    table = np.array(rows)
    places = table[:, :2] - table[:, :2].mean(axis=0)
    scale = float(np.abs(places).max())
    if scale == 0 or float(np.linalg.svd(places / scale, compute_uv=False)[1]) < 1e-6:
        raise ValueError("points: must not lie on one line")
    apart = [math.dist(a, b) for a, b in combinations((places / scale).tolist(), 2)]
    if min(apart) < 1e-6:
        raise ValueError("points: two are in one place")
    heights = table[:, 2] - table[:, 2].mean()
    steps, *_ = np.linalg.lstsq(places / scale, heights, rcond=None)
    rest = heights - places / scale @ steps
    return Plane(math.atan(steps[0] / scale), math.atan(steps[1] / scale), _rock(places / scale, rest))


def _rock(places: NDArray[np.float64], rest: NDArray[np.float64]) -> float:
    """Return the rock from scaled places (n, 2) and the heights above the best plane (n,)."""
    if len(rest) == 3:
        return 0.0
    if len(rest) > 4:
        return 2 * float(np.ptp(rest))
    # The one mix of the four that any plane makes zero; a gap is its value over that foot's weight.
    weights = np.linalg.svd(np.column_stack([places, np.ones(4)]).T)[2][-1]
    standing = np.abs(weights) > 1e-6
    return float(np.abs(weights @ rest) / np.abs(weights[standing]).min())


def foot_turns(
    side_slope: float,
    front_slope: float,
    width: float,
    depth: float,
    pitch: float,
    free: Collection[str] = FEET,
    self_adjusting_rear: bool = False,
    rock: float = 0.0,
    loose: str | None = None,
) -> dict[str, float]:
    """Return the turns to give each foot that is free to turn, up (machine rises) positive; all four
    loaded at the end.

    Slopes in radians as the machine stands; ``width``, ``depth`` between the feet and ``pitch`` of the
    thread in m. ``free``: the names (``FEET``) of feet that turn; a foot that doesn't keeps its height,
    and what it holds askew stays. With four free the highest stays and the others rise.
    ``self_adjusting_rear``: the linked rear feet keep their mean height and are left out. ``rock``: the
    gap in m under the ``loose`` foot. ValueError naming the argument.
    """
    for name, slope in (("side_slope", side_slope), ("front_slope", front_slope)):
        if abs(finite(name, slope)) > _STEEPEST:
            raise ValueError(f"{name}: must be within 45 degrees, is {math.degrees(slope):g}")
    half = (positive("width", width) / 2, positive("depth", depth) / 2)
    turn = positive("pitch", pitch)
    names = _free(free, truth("self_adjusting_rear", self_adjusting_rear))
    gaps = _gaps(rock, loose)
    tilt = (math.tan(side_slope), math.tan(front_slope))
    now = {foot: sum(t * s * h for t, s, h in zip(tilt, _SIDES[foot], half, strict=True)) for foot in FEET}
    now = {foot: now[foot] - gaps[foot] for foot in FEET}  # where the foot's tip would let the body stand
    target = _target(now, names, half, self_adjusting_rear)
    return {foot: (target[foot] - now[foot]) / turn + 0.0 for foot in names}


def _free(free: Collection[str], self_adjusting_rear: bool) -> tuple[str, ...]:
    """Return the feet to turn, in the order of ``FEET``; ValueError naming ``free``."""
    named = [one_of("free", foot, FEET) for foot in items("free", free)]  # type: ignore[arg-type]
    names = tuple(
        foot for foot in FEET if foot in named and not (self_adjusting_rear and foot.startswith("rear"))
    )
    if not names:
        raise ValueError("free: no foot is free to turn")
    return names


def _gaps(rock: float, loose: str | None) -> dict[str, float]:
    """Return the gap under each foot; ValueError naming ``rock`` or ``loose``."""
    gap = not_negative("rock", rock)
    if loose is not None:
        one_of("loose", loose, FEET)
    if gap > 0 and loose is None:
        raise ValueError("loose: say which foot hangs, since there is a rock")
    return {foot: gap if foot == loose else 0.0 for foot in FEET}


def _target(
    now: dict[str, float], names: tuple[str, ...], half: tuple[float, float], linked: bool
) -> dict[str, float]:
    """Return the height each foot ends at: on one plane, the least steep that the feet that stay put
    allow.
    """
    rows, heights = [], []
    fixed = [foot for foot in FEET if foot not in names]
    if linked:
        rows.append((1.0, 0.0, -half[1]))
        heights.append((now["rear-left"] + now["rear-right"]) / 2)
        fixed = [foot for foot in fixed if foot.startswith("front")]
    for foot in fixed:
        x, y = _SIDES[foot]
        rows.append((1.0, x * half[0], y * half[1]))
        heights.append(now[foot])
    if not rows:
        top = max(now.values())
        return dict.fromkeys(FEET, top)
    level, side, front = _flattest(np.array(rows), np.array(heights))
    return {foot: level + side * x * half[0] + front * y * half[1] for foot, (x, y) in _SIDES.items()}


def _flattest(rows: NDArray[np.float64], heights: NDArray[np.float64]) -> tuple[float, float, float]:
    """Return level and slopes through the given heights exactly, the slopes as small as may be."""
    base = np.linalg.lstsq(rows[1:, 1:] - rows[0, 1:], heights[1:] - heights[0], rcond=None)[0]
    side, front = (float(number) for number in base) if len(rows) > 1 else (0.0, 0.0)
    level = float(heights[0] - rows[0, 1] * side - rows[0, 2] * front)
    return level, side, front


def corners(
    front_left: float, front_right: float, rear_left: float, rear_right: float,
    width: float, depth: float, height_u: float = 0.0,
) -> Corners:  # fmt: skip
    """Return a tub's lean and twist from the heights of its four corners (rods or rim), m, up positive.

    ``width`` and ``depth`` between the corners, m; ``height_u`` the standard uncertainty of one height.
    Twist: by how much one diagonal stands above the other. A gap measured downward from the deck is given
    negative. ValueError naming the argument. Source: geometry; GUM 5.1.2.
    """
    heights = dict(zip(FEET, (front_left, front_right, rear_left, rear_right), strict=True))
    heights = {foot: finite(foot.replace("-", "_"), height) for foot, height in heights.items()}
    across, along, spread = (
        positive("width", width),
        positive("depth", depth),
        not_negative("height_u", height_u),
    )
    fl, fr, rl, rr = heights.values()
    return Corners(
        side_lean=math.atan(((fr + rr) - (fl + rl)) / 2 / across),
        front_lean=math.atan(((fl + fr) - (rl + rr)) / 2 / along),
        twist=((fl + rr) - (fr + rl)) / 2,
        spread=max(heights.values()) - min(heights.values()),
        lowest=min(heights, key=heights.__getitem__),
        lean_u=spread / min(across, along),
        twist_u=spread,
    )
