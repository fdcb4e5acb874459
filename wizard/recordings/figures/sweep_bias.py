"""What a sweep does to a peak: a drum that runs through a resonance shows it late, lower and wider.

A tub on a spring with fluid damping, driven by an unbalance whose speed changes evenly, is followed in steps (its two
poles as recursions), seen through the same window as the recording, and read as the recording is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from wizard.recordings.figures.run_curve import TURNS
from wizard.recordings.reading.recorded_signal import Array

_STEPS = 64  # a turn of the resonance
_FROM, _TO = 0.35, 2.6  # of the resonance
_MOST_STEPS = 60_000
_ROUNDS = 8


@dataclass(frozen=True, slots=True)
class SweptPeak:
    """How a resonance at 1 Hz is read in a sweep: where its swing ``peak``s, and the ``damping`` ratio by half power,
    NaN where that can't be read.
    """

    peak: float
    damping: float


def half_power(speed: Array, swing: Array) -> tuple[float, float, float] | None:
    """Return the resonance, and the two speeds at which the receptance (swing over speed squared) has half its power.

    None if one of them isn't in the curve. ``speed`` may fall or rise.
    """
    order = np.argsort(speed)
    speed, height = speed[order], (swing / speed**2)[order]
    top = int(np.argmax(height))
    half = height[top] / math.sqrt(2)
    below, above = np.flatnonzero(height[:top] < half), np.flatnonzero(height[top:] < half)
    if not len(below) or not len(above):
        return None
    low, high = int(below[-1]), top + int(above[0])
    first = np.interp(half, height[low : low + 2], speed[low : low + 2])
    last = np.interp(-half, -height[high - 1 : high + 1], speed[high - 1 : high + 1])
    return float(speed[top]), float(first), float(last)


def ratio_of(low: float, high: float) -> float:
    """Return the damping ratio of two half-power frequencies: (f2^2 - f1^2) / (2 (f2^2 + f1^2)), Thomson, 3.10."""
    return (high * high - low * low) / (2 * (high * high + low * low))


@lru_cache(maxsize=512)
def swept(rate: float, damping: float) -> SweptPeak:
    """Return how a resonance at 1 Hz of a damping ratio is read while the speed changes by ``rate`` Hz a second, below
    0 where it falls.
    """
    from scipy.signal import fftconvolve, lfilter  # late: scipy takes long to load

    seconds = (_TO - _FROM) / abs(rate)
    count = int(min(_MOST_STEPS, seconds * _STEPS))
    time = np.linspace(0.0, seconds, count)
    step = time[1]
    first = _FROM if rate > 0 else _TO
    speed = first + rate * time
    phase = math.tau * (first * time + rate * time**2 / 2)
    force = (speed**2 + 1j * rate / math.tau) * np.exp(1j * phase)
    pole = math.tau * complex(-damping, math.sqrt(1 - damping * damping))
    moved = np.zeros(count, dtype=complex)
    for one, sign in ((pole, 1), (pole.conjugate(), -1)):
        turn = np.exp(one * step)
        moved += sign * lfilter([step / 2, step / 2 * turn], [1.0, -turn], force) / (2j * pole.imag)
    line = moved * np.exp(-1j * phase)
    window = np.hanning(max(3, round(TURNS / step)) | 1)
    size = np.abs(fftconvolve(line, window / window.sum(), "same"))
    inside = slice(len(window) // 2, count - len(window) // 2)
    if inside.stop - inside.start < 20:
        return SweptPeak(math.nan, math.nan)
    speed, size = speed[inside], size[inside]
    read = half_power(speed, size)
    peak = float(speed[int(np.argmax(size))])
    return SweptPeak(peak, ratio_of(read[1], read[2]) if read else math.nan)


def unswept(peak: float, damping: float, rate: float) -> tuple[float, float] | None:
    """Return resonance (Hz) and damping ratio of the tub that is read as ``peak`` (Hz) and ``damping`` while the speed
    changes by ``rate`` Hz a second. None if no tub with fluid damping is.
    """
    natural, ratio = peak, damping
    for _ in range(_ROUNDS):
        read = swept(round(rate / natural**2, 6), round(ratio, 5))
        if math.isnan(read.damping) or math.isnan(read.peak):
            return None
        natural = peak / read.peak
        ratio = min(0.5, max(0.005, ratio * (damping / read.damping)))
    read = swept(round(rate / natural**2, 6), round(ratio, 5))
    close = abs(read.damping / damping - 1) < 0.03 and abs(read.peak * natural / peak - 1) < 0.01
    return (natural, ratio) if close else None
