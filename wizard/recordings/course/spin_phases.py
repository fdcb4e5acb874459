"""The phases of a spin: rest, tumble, ramp, spin and coast, told apart by speed, its slope, and how loud it is."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from wizard.domain.recording_vocabulary import SignalKind, SpinPhase
from wizard.recordings.course.speed_course import HOP, SpeedCourse
from wizard.recordings.reading.recorded_signal import Array, Mask, RecordedSignal, SoundFrames


@dataclass(frozen=True, slots=True)
class PhaseStretch:
    """A ``phase`` from ``start`` to ``end``, s."""

    phase: SpinPhase
    start: float
    end: float


_STEEP = 0.04  # turns a second squared
_SPINS = 5.0  # turns a second; slower it tumbles, or distributes the load
_HOLDS = 4.0  # s
_BRIEF = 1.6  # s
_QUIET = 2.0  # times the quietest
_STILL = 0.15  # m/s2: no machine that tumbles is as quiet
_LOUDER = 2.0  # times as loud as rest: the least of a spin
_WIDE = 13
_UNSEEN = 10.0  # s of a course that are interpolated at most where the drum's lines are lost (an estimate)
_HALF = 0.5
_SIDE = 6  # places of the course to either side of it
_STEEPEST, _FALLS = 0.75, 4.0  # turns a second squared, of a ramp and a coast (an estimate)
_TURNS_FAST = (SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST)
_AUDIBLE = 20.0  # Hz


def levels(signal: RecordedSignal, at: Array) -> Array:
    """Return how loud it is round each time (half a second): rms of all channels; of a sound, from 20 Hz up, against
    full scale.
    """
    if signal.frames is not None:
        return _heard(signal.frames, at)
    squares = np.sum(signal.values**2, axis=1)
    total = np.concatenate([[0.0], np.cumsum(squares)])
    first = np.searchsorted(signal.time, at - 0.25)
    last = np.maximum(np.searchsorted(signal.time, at + 0.25), first + 1)
    last = np.minimum(last, len(squares))
    return np.asarray(np.sqrt(np.maximum(total[last] - total[first], 0.0) / np.maximum(last - first, 1)))


def _heard(frames: SoundFrames, at: Array) -> Array:
    """Return the level of a sound by its frames: its analysed values have their mean taken off, which no rest has."""
    power = frames.power[:, frames.frequencies >= _AUDIBLE].sum(axis=1, dtype=np.float64)
    middle = (np.arange(len(power)) + 0.5) * frames.seconds
    both = np.convolve(np.pad(power, 1, mode="edge"), (0.25, 0.5, 0.25), "valid")
    return np.sqrt(np.interp(at, middle, both))


def phases(signal: RecordedSignal, course: SpeedCourse, held: bool = False) -> tuple[PhaseStretch, ...]:
    """Return the stretches of a recording, one after the other, from its start to its end.

    ``held``: its phone was held in a hand, whose tremor is no tumble.
    """
    level = levels(signal, course.at)
    seen = ~np.isnan(course.speed)
    floor = float(np.quantile(level, 0.03))
    loud = float(np.median(level[seen])) if seen.any() else np.inf
    still = floor < _STILL or held if signal.kind is SignalKind.MOTION else floor * _LOUDER < loud
    quiet = (level < _QUIET * floor) & still
    speed = _interpolated(course.speed, quiet)
    seen, slope = ~np.isnan(speed), _slope(speed)
    named = [SpinPhase.REST if still_here else SpinPhase.TUMBLE for still_here in quiet & ~seen]
    ends = np.flatnonzero(np.diff(np.concatenate([[0], seen.astype(int), [0]])))
    for first, last in zip(ends[::2], ends[1::2], strict=True):
        named[first:last] = _turning(speed[first:last], slope[first:last])
    runs = _merged(_runs(named), _BRIEF)
    runs = [(_held(phase, first, last), first, last) for phase, first, last in runs]
    stretches = _merged(runs, _BRIEF)
    edges = [0.0, *(float(course.at[first]) - HOP / 2 for _, first, _ in stretches[1:]), signal.seconds]
    return tuple(
        PhaseStretch(phase, start, end)
        for (phase, _, _), (start, end) in zip(stretches, pairwise(edges), strict=True)
    )


def _interpolated(speed: Array, quiet: Mask) -> Array:
    """Return the speeds with what isn't seen interpolated between what is, where a drum may have gone
    so: no rest lies in it, it is short, and it leads on as steeply as a drum's ramp or coast does.
    """
    known, gone = ~np.isnan(speed), speed.copy()
    ends = np.flatnonzero(np.diff(np.concatenate([[0], (~known).astype(int), [0]])))
    for first, last in zip(ends[::2], ends[1::2], strict=True):
        seconds = (last - first + 1) * HOP
        if not 0 < first < last < len(speed) or seconds > _UNSEEN or np.mean(quiet[first:last]) > _HALF:
            continue
        sides = np.arange(first - _SIDE, first), np.arange(last, last + _SIDE)
        (came, before), (goes, after) = (_middle_of(speed, side) for side in sides)
        slope, fast = (after - before) / (goes - came) / HOP, min(before, after) >= _SPINS
        if fast or _STEEP < slope <= _STEEPEST or -_FALLS <= slope < -_STEEP:
            gone[first:last] = np.interp(np.arange(first, last), [came, goes], [before, after])
    return gone


def _middle_of(speed: Array, places: NDArray[np.int64]) -> tuple[float, float]:
    """Return the middle of the places at which a speed is seen, and the median of the speeds there."""
    inside = places[(places >= 0) & (places < len(speed))]
    inside = inside[~np.isnan(speed[inside])]
    return float(np.mean(inside)), float(np.median(speed[inside]))


def _turning(speed: Array, slope: Array) -> list[SpinPhase]:
    """Return the phases of a drum that is seen to turn all along: what leads up to a spin is its ramp, and the rest of
    a spin its coast; one that never gets so fast tumbles.
    """
    fast = np.flatnonzero(speed >= _SPINS)
    if not len(fast):
        return [SpinPhase.TUMBLE] * len(speed)
    index = np.arange(len(speed))
    ways = [index < fast[0], index > fast[-1], slope > _STEEP, slope < -_STEEP]
    each = (SpinPhase.RAMP, SpinPhase.COAST, SpinPhase.RAMP, SpinPhase.COAST, SpinPhase.SPIN)
    return [each[n] for n in np.select(ways, list(range(len(ways))), default=len(ways))]


def _held(phase: SpinPhase, first: int, last: int) -> SpinPhase:
    """Return what a steady speed is: a spin, or a pause of the ramp where it is short."""
    return SpinPhase.RAMP if phase is SpinPhase.SPIN and (last - first) * HOP < _HOLDS else phase


def _slope(speed: Array) -> Array:
    """Return the slope of the speed over three seconds, turns a second squared; 0 where there is none."""
    known = np.isfinite(speed).astype(float)
    offsets = np.asarray((np.arange(_WIDE) - _WIDE // 2) * HOP, dtype=np.float64)
    filled = np.nan_to_num(speed)

    def over(values: Array, weights: Array) -> Array:
        return np.convolve(values, weights[::-1], "same")

    count = np.maximum(over(known, np.ones(_WIDE)), 1e-9)
    middle, mean = over(known, offsets) / count, over(filled, np.ones(_WIDE)) / count
    spread = over(known, offsets**2) / count - middle**2
    joint = over(filled, offsets) / count - middle * mean
    return np.where((known > 0) & (spread > 1e-3), joint / np.maximum(spread, 1e-3), 0.0)


Run = tuple[SpinPhase, int, int]


def _runs(named: list[SpinPhase]) -> list[Run]:
    """Return each run of one phase: first and past-the-last index."""
    edges = [0, *(n for n in range(1, len(named)) if named[n] is not named[n - 1]), len(named)]
    return [(named[first], first, last) for first, last in pairwise(edges) if last > first]


def _merged(runs: list[Run], brief: float) -> list[Run]:
    """Return the runs with the brief ones given to the longer of their neighbours, the briefest first; one of a drum
    that is seen to turn fast to no tumble and no rest.
    """
    runs = list(runs)
    while short := [
        n for n in range(len(runs)) if (runs[n][2] - runs[n][1]) * HOP < brief and _sides(runs, n)
    ]:
        at = min(short, key=lambda n: runs[n][2] - runs[n][1])
        sides = _sides(runs, at)
        to = max(sides, key=lambda n: runs[n][2] - runs[n][1])
        first, last = min(runs[at][1], runs[to][1]), max(runs[at][2], runs[to][2])
        runs[min(at, to) : max(at, to) + 1] = [(runs[to][0], first, last)]
        runs = _joined(runs)
    return _joined(runs)


def _sides(runs: list[Run], at: int) -> list[int]:
    """Return which neighbours a run may be given to."""
    fast = runs[at][0] in _TURNS_FAST
    sides = [n for n in (at - 1, at + 1) if 0 <= n < len(runs)]
    return [n for n in sides if not fast or runs[n][0] in _TURNS_FAST]


def _joined(runs: list[Run]) -> list[Run]:
    """Return the runs with neighbours of one phase made one."""
    joined: list[Run] = []
    for phase, first, last in runs:
        if joined and joined[-1][0] is phase:
            joined[-1] = (phase, joined[-1][1], last)
        else:
            joined.append((phase, first, last))
    return joined


def longest(stretches: tuple[PhaseStretch, ...], phase: SpinPhase) -> PhaseStretch | None:
    """Return the longest stretch of a phase, None if there is none."""
    found = [stretch for stretch in stretches if stretch.phase is phase]
    return max(found, key=lambda stretch: stretch.end - stretch.start, default=None)
