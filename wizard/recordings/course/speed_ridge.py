"""The drum's speed as a ridge over time: several of its orders weighed at once, so that it is right about the harmonic.

Each window gives every speed a score: how far its first four orders stand out, and what speaks against it where they
don't, or where lines lie between them. The best path over all windows is taken (Viterbi), by which a drum that can't
leap goes through windows that show nothing. After Leclere et al. 2016, a multi-order probabilistic approach.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.recordings.course.line_strength import HOP, STEP, LineStrength
from wizard.recordings.reading.recorded_signal import Array, Mask

SLOWEST, FASTEST = 1.5, 30.0
"""The speeds that are looked for, turns a second."""

_WEIGHTS = (1.0, 0.6, 0.4, 0.3)
_ABSENT = 1.2  # a strength that noise alone often has
_MOST, _BEYOND = 6.0, 0.15  # a strength counts in full up to this, beyond it by this share
_BETWEEN, _CHANCE = 0.35, 1.8  # of what stands between the orders by more than chance often does
_NONE = 2.2  # the score of no drum that turns
_BEGINS, _ENDS = 6.0, 4.0
_UP, _DOWN = 0.75, 4.0  # turns a second squared: a ramp has two thirds of that at most (an estimate)
_CHANGE = 0.12  # a step of the speed
_PLATE = 1.07
_SURE = 1.0  # of the score, in the mean over the ridge


@dataclass(frozen=True, slots=True, eq=False)
class SpeedRidge:
    """``speed`` turns a second in each window, shape (n,), NaN where no drum is seen to turn. ``margin``: by how much
    the mean score is over that of half and of double the speed, the lesser; ``sure``: enough for the harmonic.
    """

    speed: Array
    score: Array
    margin: float
    sure: bool


def speed_ridge(lines: LineStrength, plate: float | None = None, fastest: float = FASTEST) -> SpeedRidge:
    """Return the ridge. ``plate``: the top speed by the machine's plate, turns a second; none is faster by over 7 %.
    ``fastest``: up to which speed it is looked for at all, turns a second.
    """
    top = min(fastest, float(lines.frequencies[-1]), _PLATE * plate if plate else math.inf)
    speeds = np.arange(SLOWEST, top + STEP / 2, STEP)
    scores = _scores(lines.strength, speeds)
    scores[lines.bridged] = _NONE  # they speak neither for a drum nor against one
    path = _best_path(scores)
    there = path >= 0
    speed = _interpolated(np.where(there, speeds[np.maximum(path, 0)], np.nan), lines.bridged)
    taken = np.where(there, scores[np.arange(len(path)), np.maximum(path, 0)], 0.0)
    margin = _margin(scores, speeds, np.where(lines.bridged, -1, path))
    sure = margin >= _SURE or bool(plate and there.any() and _at_plate(speed, plate))
    return SpeedRidge(speed, taken, margin, sure)


def _interpolated(speed: Array, bridged: Mask) -> Array:
    """Return the speeds with short gaps interpolated between their neighbours."""
    places = np.arange(len(speed))
    seen = ~np.isnan(speed) & ~bridged
    if not seen.any():
        return speed
    between = np.interp(places, places[seen], speed[seen], left=np.nan, right=np.nan)
    return np.where(bridged & ~np.isnan(speed), between, speed)


def _at_plate(speed: Array, plate: float) -> bool:
    return abs(float(np.nanquantile(speed, 0.95)) / plate - 1) < _PLATE - 1


def _scores(strength: Array, speeds: Array) -> Array:
    """Return the score of each speed in each window, shape (windows, speeds)."""
    from scipy.ndimage import maximum_filter1d  # late: scipy takes long to load

    capped = np.clip(strength, 0.0, _MOST) + _BEYOND * np.maximum(strength - _MOST, 0.0)
    scores = np.zeros((len(strength), len(speeds)))
    first = np.round(speeds / STEP).astype(int)
    for order, weight in enumerate(_WEIGHTS, start=1):
        near = maximum_filter1d(capped, 2 * (order // 2) + 1, axis=1, mode="nearest") if order > 1 else capped
        index = first * order
        inside = index < strength.shape[1]
        scores[:, inside] += weight * (near[:, index[inside]] - _ABSENT)
    half, more = capped[:, first // 2], np.zeros_like(scores)
    index = first * 3 // 2
    inside = index < strength.shape[1]
    more[:, inside] = capped[:, index[inside]]
    between = np.maximum(half - _CHANCE, 0.0) + np.maximum(more - _CHANCE, 0.0)
    return np.asarray(scores - _BETWEEN * between)


def _best_path(scores: Array) -> NDArray[np.int64]:
    """Return the best path: the index of the speed in each window, -1 where none is seen."""
    windows, count = scores.shape
    up, down = max(1, round(_UP * HOP / STEP)), max(1, round(_DOWN * HOP / STEP))
    best, rest = np.full(count, -_BEGINS), 0.0
    back = np.zeros((windows, count), dtype=np.int64)
    from_rest = np.zeros(windows, dtype=np.int64)
    for n in range(windows):
        moved, came = best.copy(), np.arange(count)
        for by in (*range(1, up + 1), *range(-down, 0)):
            shifted = np.full(count, -np.inf)
            cost = _CHANGE * (math.sqrt(abs(by)) if abs(by) <= up else abs(by))
            if by > 0:
                shifted[by:] = best[:-by] - cost
            else:
                shifted[:by] = best[-by:] - cost
            better = shifted > moved
            moved = np.where(better, shifted, moved)
            came = np.where(better, np.arange(count) - by, came)
        begins = rest - _BEGINS > moved
        moved = np.where(begins, rest - _BEGINS, moved)
        came = np.where(begins, -1, came)
        ends = int(np.argmax(best))
        from_rest[n] = ends if best[ends] - _ENDS > rest else -1
        rest = max(rest, float(best[ends]) - _ENDS) + _NONE
        best = moved + scores[n]
        back[n] = came
    path = np.empty(windows, dtype=np.int64)
    at = int(np.argmax(best)) if best.max() > rest else -1
    for n in range(windows - 1, -1, -1):
        path[n] = at
        at = int(back[n, at]) if at >= 0 else int(from_rest[n])
    return path


def _margin(scores: Array, speeds: Array, path: NDArray[np.int64]) -> float:
    """Return by how much the path's mean score is over that of half and of double its speeds, the lesser."""
    there = np.flatnonzero(path >= 0)
    if not len(there):
        return 0.0
    found = []
    own = scores[there, path[there]]
    for ratio in (0.5, 2.0):
        other = np.round((speeds[path[there]] * ratio - speeds[0]) / STEP).astype(int)
        inside = (other >= 0) & (other < len(speeds))
        if inside.any():
            found.append(float(np.mean(own[inside] - scores[there[inside], other[inside]])))
    return min(found, default=math.inf)
