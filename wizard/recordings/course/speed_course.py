"""The drum's speed over time, finer than the windows of its ridge: by how the phase of its orders goes on."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.recordings.course.order_lines import OrderLines, order_lines
from wizard.recordings.course.speed_ridge import SpeedRidge
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

HOP = 0.25
"""From one speed to the next, s."""

_ROUNDS = 3
_TURNS, _SHORTEST = 4.0, 0.8
_SMOOTH = 5
_BRIDGED = 1.6  # s without a line that are interpolated
_NO_DRIFT = 3.0  # s without a drift that are interpolated: a short gap, and the windows beside it
_WEAK = 2.0  # times its noise
_CLEAR = 5.0  # times its noise, in the median: a higher order that tells of the speed
_LATE = 0.22  # s: how far a resonance may shift the phase of a drum that runs through it
_TRUST = 0.02  # how much a speed counts of which no phase tells
_STEEPEST = 4.0  # turns a second squared
_FASTEST_CHANGE, _OF_CHANGE = 3.0, 0.8
_VAGUE = 0.35  # turns a second: how far off a ridge may be where no phase tells
_LEAST = 0.01  # turns a second
_ORDERS = 2


@dataclass(frozen=True, slots=True, eq=False)
class SpeedCourse:
    """``speed`` turns a second at ``at`` s, every quarter second, NaN where no drum is seen to turn; ``speed_u`` its
    standard uncertainty. ``sure``: it is told from its half and its double.
    """

    at: Array
    speed: Array
    speed_u: Array
    sure: bool

    @property
    def turns(self) -> Array:
        """How far it has turned at each time, in turns, counted through what isn't seen."""
        known = np.nan_to_num(self.speed)
        return np.concatenate([[0.0], np.cumsum((known[1:] + known[:-1]) / 2 * HOP)])

    def phase(self, time: Array) -> Array:
        """Return the drum's phase, rad, at times (s); NaN where its speed isn't known."""
        from scipy.interpolate import PchipInterpolator  # late: scipy takes long to load

        angle = math.tau * PchipInterpolator(self.at, self.turns)(np.clip(time, self.at[0], self.at[-1]))
        seen = np.interp(time, self.at, np.isnan(self.speed).astype(float), left=1.0, right=1.0) == 0
        return np.where(seen, angle, np.nan)

    def speed_at(self, time: Array) -> Array:
        """Return the speed at times (s), turns a second; NaN where it isn't known."""
        return np.interp(time, self.at, self.speed, left=np.nan, right=np.nan)


def speed_course(signal: RecordedSignal, at: Array, ridge: SpeedRidge) -> SpeedCourse:
    """Return the course of a ridge whose windows lie at ``at`` s."""
    times = np.arange(at[0], at[-1] + HOP / 2, HOP)
    speed = _bridged(at, ridge.speed, times)
    spread = np.full(len(times), np.nan)
    for _ in range(_ROUNDS):
        course = SpeedCourse(times, speed, spread, ridge.sure)
        speed, spread = _nearer(signal, course)
    return SpeedCourse(times, speed, spread, ridge.sure)


def _bridged(at: Array, speed: Array, times: Array) -> Array:
    """Return the speeds at ``times``, short gaps interpolated."""
    seen = ~np.isnan(speed)
    if seen.sum() < 2:
        return np.full(len(times), np.nan)
    found = np.interp(times, at[seen], speed[seen], left=np.nan, right=np.nan)
    before = np.searchsorted(at[seen], times, side="right") - 1
    after = np.minimum(before + 1, seen.sum() - 1)
    far = at[seen][after] - at[seen][np.maximum(before, 0)] > _BRIDGED
    exact = np.isin(np.round(times, 6), np.round(at[seen], 6))
    return np.where(far & ~exact, np.nan, found)


def _nearer(signal: RecordedSignal, course: SpeedCourse) -> tuple[Array, Array]:
    """Return the speed corrected by how the phase of orders 1 and 2 drifts against it, and its uncertainty."""
    speed = course.speed
    widths = np.maximum(_TURNS / np.nan_to_num(speed, nan=_TURNS), _SHORTEST)
    lines = order_lines(signal.time, signal.values, course.phase(signal.time), course.at, widths, _ORDERS)
    off, weight = _drift(lines)
    off = _interpolated(course.at, off, weight)
    weight = np.where(np.isnan(speed), 0.0, weight + _TRUST)
    taken = np.where(np.isnan(speed), 0.0, speed + off)
    smooth = np.hanning(_SMOOTH + 2)[1:-1]
    total = np.convolve(weight, smooth, "same")
    whole = np.maximum(total, 1e-12)
    mean, late = np.convolve(weight * taken, smooth, "same") / whole, _lateness(weight, smooth, whole)
    slope = np.gradient(mean, HOP)
    nearer = np.where(np.isnan(speed), np.nan, mean - np.clip(slope, -_STEEPEST, _STEEPEST) * late)
    scatter = np.convolve(weight * (taken - np.nan_to_num(nearer)) ** 2, smooth, "same") / whole
    slope = np.abs(np.gradient(np.nan_to_num(nearer, nan=0.0), HOP))
    slope = np.where(np.isnan(nearer), 0.0, slope)
    slope = np.minimum(slope, 3.0)
    vague = _VAGUE * (1 - np.minimum(total / smooth.sum(), 1.0))
    known = np.sqrt(
        np.maximum(scatter, 0.0) / 2 + _LEAST**2 + (_LATE * slope) ** 2 + _resonance(lines) ** 2 + vague**2
    )
    return nearer, np.where(np.isnan(nearer), np.nan, known)


def _interpolated(at: Array, off: Array, weight: Array) -> Array:
    """Return the drifts; those of times that tell none are interpolated between their neighbours', where both are
    near.
    """
    known = weight > 0
    if known.sum() < 2:
        return off
    after = np.clip(np.searchsorted(at[known], at), 1, known.sum() - 1)
    near = at[known][after] - at[known][after - 1] <= _NO_DRIFT
    return np.where(~known & near, np.interp(at, at[known], off[known]), off)


def _resonance(lines: OrderLines) -> Array:
    """Return by how much a resonance that is run through may shift the frequency of what is seen, Hz, at each time.

    It turns the phase about as fast as it changes the amplitude (both are parts of one logarithm), at its peak too.
    """
    from scipy.ndimage import maximum_filter1d  # late: scipy takes long to load

    size = np.log(
        lines.size(1) + 1e-12 + np.min(np.where(np.isfinite(lines.noise), lines.noise, 0.0), axis=1)
    )
    smooth = np.convolve(np.pad(size, 2, mode="edge"), np.hanning(7)[1:-1] / np.hanning(7).sum(), "valid")
    seen = np.isfinite(lines.noise).all(axis=1)
    change = np.where(seen, np.minimum(np.abs(np.gradient(smooth, HOP)), _FASTEST_CHANGE), 0.0)
    shift: Array = maximum_filter1d(change, 9, mode="nearest") * _OF_CHANGE / math.tau
    return shift


def _lateness(weight: Array, smooth: Array, whole: Array) -> Array:
    """Return by how many seconds the middle of what a smoothing weighs lies after each time."""
    after = (np.arange(len(smooth)) - len(smooth) // 2) * HOP
    return np.convolve(weight, smooth * -after, "same") / whole


def _drift(lines: OrderLines) -> tuple[Array, Array]:
    """Return how much faster the drum turns than was taken, turns a second, and how much that counts (0 to 1), at each
    time: the mean of what lies before and after it.
    """
    sums, weights = np.zeros(len(lines.at) - 1), np.zeros(len(lines.at) - 1)
    for order in range(1, _ORDERS + 1):
        line = lines.lines[:, order - 1]
        strength = np.sum(np.abs(line) ** 2 / np.maximum(lines.noise, 1e-300) ** 2, axis=1)
        seen = np.isfinite(lines.noise).all(axis=1)
        strength = np.where(seen, strength, 0.0)
        if order > 1 and (not seen.any() or float(np.median(strength[seen])) < _CLEAR**2):
            continue  # a mode that is met by one order for a while, and no line of the drum
        step = np.sum(
            line[1:] * np.conj(line[:-1]) / np.maximum(lines.noise[1:] * lines.noise[:-1], 1e-300), axis=1
        )
        step = np.where(np.isfinite(step), step, 0.0)
        both = np.minimum(strength[1:], strength[:-1])
        counts = np.where(both > _WEAK**2, order**2 * both, 0.0)
        sums += counts * np.angle(step) / (math.tau * HOP * order)
        weights += counts
    between = sums / np.maximum(weights, 1e-12)
    counted = weights / (weights + 20.0)
    off = np.concatenate([between[:1], (between[1:] + between[:-1]) / 2, between[-1:]])
    return off, np.concatenate([counted[:1], np.minimum(counted[1:], counted[:-1]), counted[-1:]])
