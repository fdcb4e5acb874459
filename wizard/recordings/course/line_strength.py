"""How far each frequency of a recording stands out of its neighbours, over time: what lines of the drum are looked for
in.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.domain.recording_vocabulary import SignalKind
from wizard.recordings.reading.motion_reader import UNEVEN
from wizard.recordings.reading.recorded_signal import Array, Going, Mask, RecordedSignal

Complex = NDArray[np.complex128]
WINDOW, HOP, STEP = 2.0, 0.5, 0.125
"""Length of a window and from one to the next, s; of the frequencies from one to the next, Hz."""

HIGHEST = 125.0
"""Hz; four times the fastest drum."""

SHORT_GAP = 1.05
"""A gap of so many seconds or less ends nothing: a drum that turns doesn't stop and start again in it."""

_NEIGHBOURS = 3.0  # Hz to each side
_FLOOR = 40  # percentile of the neighbours
_HUM = (50.0, 60.0)
_HUM_WIDE = 0.4
_READINGS = 8
_FINE = 32


@dataclass(frozen=True, slots=True, eq=False)
class LineStrength:
    """``strength`` shape (windows, frequencies): natural logarithm of power over that of the neighbours; ``at`` s, the
    middle of each window; ``frequencies`` Hz. ``power`` of all channels, the same shape; ``missing``: windows with a
    gap; ``bridged``: those of them whose gaps are short.
    """

    at: Array
    frequencies: Array
    strength: Array
    power: Array
    missing: Mask
    bridged: Mask


def line_strength(signal: RecordedSignal, going: Going | None = None) -> LineStrength:
    """Return how far lines stand out, in windows of 2 s (Hann) every half second.

    Even times are taken by the fast transform; uneven ones (over 3 %) each at its own time, as the Lomb-Scargle
    periodogram does.
    """
    top = min(HIGHEST, signal.highest)
    frequencies = np.arange(0.0, top, STEP)
    at = np.arange(WINDOW / 2, signal.seconds - WINDOW / 2, HOP)
    spectrum = _by_times if signal.jitter > UNEVEN else _by_transform
    power = spectrum(signal, at, frequencies, going)
    strength = np.stack([_standing(power[:, :, n]) for n in range(power.shape[2])], axis=2)
    if signal.kind is SignalKind.MOTION:
        whole = power.sum(axis=2)
        strong = _standing(whole)
    else:
        whole, strong = power[:, :, 0], strength.max(axis=2)
        for hum in _HUM:
            off = np.abs(frequencies - hum * np.maximum(np.round(frequencies / hum), 1))
            strong[:, off < _HUM_WIDE] = 0.0
    longest = [_longest_gap(signal, middle) for middle in at]
    missing, bridged = (
        np.array([gap > 0 for gap in longest]),
        np.array([0 < gap <= SHORT_GAP for gap in longest]),
    )
    strong[missing] = 0.0
    return LineStrength(at, frequencies, strong, whole, missing, bridged)


def _longest_gap(signal: RecordedSignal, middle: float) -> float:
    """Return the length of the longest gap in a window, s; 0 where it has none of five readings or more."""
    there = (
        s for g, s in signal.gaps if s > 4 / signal.rate and g - WINDOW / 2 < middle < g + s + WINDOW / 2
    )
    return max(there, default=0.0)


def _by_transform(signal: RecordedSignal, at: Array, frequencies: Array, going: Going | None) -> Array:
    """Return the power, shape (windows, frequencies, channels), of values brought to even times."""
    step = 1 / signal.rate
    even = np.arange(0.0, signal.seconds, step)
    values = np.stack([np.interp(even, signal.time, channel) for channel in signal.values.T])
    count = round(WINDOW * signal.rate)
    window = np.hanning(count + 1)[:-1]
    size = max(count, round(signal.rate / STEP))
    bins = np.round(frequencies * size / signal.rate).astype(int)
    power = np.empty((len(at), len(frequencies), len(values)))
    for n, middle in enumerate(at):
        first = min(round((middle - WINDOW / 2) * signal.rate), values.shape[1] - count)
        part = values[:, first : first + count]
        part = (part - part.mean(axis=1, keepdims=True)) * window
        power[n] = (np.abs(np.fft.rfft(part, size, axis=1)[:, bins]) ** 2).T / np.sum(window) ** 2 * 4
        if going and n % 64 == 0:
            going(n / len(at))
    return power


def _by_times(signal: RecordedSignal, at: Array, frequencies: Array, going: Going | None) -> Array:
    """Return the same with each value at its own time."""
    power = np.zeros((len(at), len(frequencies), signal.values.shape[1]))
    for n, middle in enumerate(at):
        first, last = np.searchsorted(signal.time, [middle - WINDOW / 2, middle + WINDOW / 2])
        if last - first < _READINGS:
            continue
        time = signal.time[first:last] - middle
        weight = np.cos(np.pi * time / WINDOW) ** 2
        part = signal.values[first:last]
        part = (part - part.mean(axis=0)) * weight[:, None]
        turn = _turns(len(frequencies), time)
        power[n] = np.abs(turn @ part) ** 2 / weight.sum() ** 2 * 4
        if going and n % 16 == 0:
            going(n / len(at))
    return power


def _turns(count: int, time: Array) -> Complex:
    """Return exp(-2 pi i f t) for the first ``count`` frequencies, shape (count, n): a coarse step times a fine one,
    since a product is quicker than an exponential.
    """
    fine = np.exp(-2j * np.pi * STEP * np.outer(np.arange(_FINE), time))
    coarse = np.exp(-2j * np.pi * STEP * _FINE * np.outer(np.arange(-(-count // _FINE)), time))
    whole: Complex = (coarse[:, None, :] * fine[None, :, :]).reshape(-1, len(time))[:count]
    return whole


def _standing(power: Array) -> Array:
    """Return the logarithm of power over that of the neighbours, shape as given."""
    from scipy.ndimage import percentile_filter  # late: scipy takes long to load

    wide = 2 * round(_NEIGHBOURS / STEP) + 1
    thin = 4
    floor = percentile_filter(power[:, ::thin], _FLOOR, size=(1, wide // thin | 1), mode="nearest")
    floor = np.repeat(floor, thin, axis=1)[:, : power.shape[1]]
    least = 1e-12 * max(float(power.max()), 1e-300)
    return np.asarray(np.log((power + least) / (floor + least)))
