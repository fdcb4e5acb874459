"""The free decay in a recording: where a released tub swings out, and what its fit says."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from wizard.measure import ringdown, settling
from wizard.measure.decay import Array
from wizard.measure.ringdown import Ringdown
from wizard.measure.settling import Settling
from wizard.measure.vibration import Recording

_SLOWEST = 0.6  # Hz; slower is drift, or the hand
_STANDS_OUT = 4.0  # times the noise
_OVER = 3.0  # times the noise: where it is over
_AGAIN = 1.35  # grows by so much: pushed again
_FINE = 40  # readings a swing are enough
_KNOCK = 12  # this part of a swing is left to the knock of letting go
_POINTS = 96


@dataclass(frozen=True, slots=True)
class Decay:
    """A stretch of a recording, from reading ``start`` to before ``end``, and the ``period`` of its swings, s."""

    start: int
    end: int
    period: float


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What a decay says: its fit (lengths in m), how the tub settles, and up to 96 points (s, and m or m/s2) of what
    was fitted, to draw. ``drift``: what was taken off, m or m/s2 a second.
    """

    decay: Decay
    quantity: str
    fit: Ringdown
    settles: Settling
    times: tuple[float, ...]
    values: tuple[float, ...]
    drift: float


def find(recording: Recording, column: int = 0) -> Decay:
    """Return the free decay of a column: from its largest swing on, until it is lost in the noise or pushed again.

    What was clipped comes before it. ValueError naming ``recording`` if no swing stands out.
    """
    taken = recording.columns[column]
    step = float(np.median(np.diff(recording.time)))
    even = np.arange(0.0, recording.seconds, step)
    level = np.interp(even, recording.time, taken.si)
    period = 1.0 / _loudest(level - float(np.median(level)), step, taken.quantity)
    count = max(4, round(period / step))
    swing = _smooth(level, max(1, count // 5)) - _smooth(level, count)
    height = _highest(np.abs(swing), count)
    noise = _quiet(swing, count)
    clipped = np.flatnonzero(taken.clipped)
    first = int(recording.time[clipped[-1]] / step) + 1 if len(clipped) else 0
    if first >= len(swing) - count or float(np.abs(swing[first:]).max()) < _STANDS_OUT * noise:
        raise ValueError("recording: no swing stands out of it. Press the tub, let go, and record 5 s more")
    top = first + int(np.argmax(np.abs(swing[first:])))
    last = _over(height, top, count, noise)
    top += count // _KNOCK
    start, end = (int(np.searchsorted(recording.time, even[min(n, len(even) - 1)])) for n in (top, last))
    return Decay(start, max(end, start + 8), period)


def moved(recording: Recording, decay: Decay, start: int = 0, end: int = 0) -> Decay:
    """Return the decay with its start or end moved by so many quarter swings, within the recording, a swing long at
    least.
    """
    time, step = recording.time, 1 / recording.rate

    def shifted(index: int, by: int) -> int:
        if not by:
            return index
        at = float(time[min(index, len(time) - 1)]) + by * decay.period / 4
        return int(np.clip(np.searchsorted(time, at - step / 2), 0, len(time)))

    begins, ends = shifted(decay.start, start), shifted(decay.end, end)
    if ends - begins < 8 or time[ends - 1] - time[begins] < 0.9 * decay.period:
        return decay
    return replace(decay, start=begins, end=ends)


def told(recording: Recording, column: int, decay: Decay) -> Told:
    """Return the fit of a decay: drift taken off, thinned to what a swing needs, lengths in m.

    ValueError naming ``acceleration`` or ``displacement`` where it is no free decay: see ``ringdown.fit``.
    """
    taken = recording.columns[column]
    chosen = slice(decay.start, decay.end)
    time, values = recording.time[chosen], taken.si[chosen]
    drift = _drift(recording, taken.si, decay)
    values = values - drift * (time - time[0])
    time, values = _thinned(time, values, decay.period)
    made = ringdown.fit_acceleration if taken.quantity == "acceleration" else ringdown.fit
    found = made(time, values)  # type: ignore[arg-type]
    picked = np.unique(np.linspace(0, len(time) - 1, min(len(time), _POINTS)).round().astype(int))
    return Told(
        decay, taken.quantity, found, settling.after_push(found),
        tuple(float(t) for t in time[picked]), tuple(float(v) for v in values[picked]), drift,
    )  # fmt: skip


def _loudest(level: Array, step: float, quantity: str) -> float:
    """Return the frequency of the loudest swing, Hz; accelerations weighed as velocities, so that knocks count less."""
    power = np.abs(np.fft.rfft(level * np.hanning(len(level)), 4 * len(level)))
    frequency = np.fft.rfftfreq(4 * len(level), step)
    power = power / np.maximum(frequency, 1e-9) if quantity == "acceleration" else power
    band = (frequency >= max(_SLOWEST, 2 / (len(level) * step))) & (frequency <= 0.25 / step)
    if not band.any():
        raise ValueError(
            "recording: too short, or read too slowly, to show a swing. Record for 3 s or longer"
        )
    return float(frequency[band][int(np.argmax(power[band]))])


def _smooth(values: Array, count: int) -> Array:
    """Return the running mean of ``count`` values, the edges by what there is."""
    from scipy.ndimage import uniform_filter1d  # late: scipy takes long to load

    smoothed: Array = uniform_filter1d(values, count, mode="nearest")
    return smoothed


def _highest(values: Array, count: int) -> Array:
    """Return the running maximum of ``count`` values."""
    from scipy.ndimage import maximum_filter1d  # late: scipy takes long to load

    highest: Array = maximum_filter1d(values, count, mode="nearest")
    return highest


def _quiet(swing: Array, count: int) -> float:
    """Return the rms of the quietest tenth of the recording, by swings; 0 where it is never quiet."""
    running = np.sqrt(np.maximum(_smooth(swing**2, count), 0.0))
    inner = running[count // 2 : -(count // 2) or None]
    quiet, loud = float(np.quantile(inner, 0.1)), float(np.abs(swing).max())
    return quiet if quiet < 0.1 * loud else 0.0


def _over(height: Array, top: int, count: int, noise: float) -> int:
    """Return where the swings after ``top`` are over, with one swing's length of quiet; or begin anew."""
    least = math.inf
    for n in range(top + count // 2, len(height)):
        if height[n] > _AGAIN * least and height[n] > _OVER * noise:
            return max(top + count, n - count)
        least = min(least, float(height[n]))
        if least < _OVER * noise:
            return _still(height, n, n + count, noise)
    return len(height)


def _still(height: Array, start: int, end: int, noise: float) -> int:
    """Return the end of the quiet from ``start``, ``end`` at most."""
    loud = np.flatnonzero(height[start:end] > _STANDS_OUT * noise)
    return start + int(loud[0]) if len(loud) else min(end, len(height))


def _drift(recording: Recording, values: Array, decay: Decay) -> float:
    """Return the slope of the quiet after the decay, a second, if it is beyond doubt and matters; else 0."""
    time = recording.time
    after = slice(decay.end, int(np.searchsorted(time, time[decay.end - 1] + 5.0)))
    when, rest = time[after], values[after]
    if len(when) < 16 or when[-1] - when[0] < 2 * decay.period:
        return 0.0
    middle = when - when.mean()
    slope = float(middle @ rest / (middle @ middle))
    off = rest - rest.mean() - slope * middle
    doubt = math.sqrt(float(off @ off) / (len(off) - 2) / float(middle @ middle))
    whole = float(np.ptp(values[decay.start : decay.end]))
    length = float(time[decay.end - 1] - time[decay.start])
    swings = float(np.ptp(off)) > 0.2 * whole
    return slope if not swings and abs(slope) > 5 * doubt and abs(slope) * length > 0.02 * whole else 0.0


def _thinned(time: Array, values: Array, period: float) -> tuple[Array, Array]:
    """Return means of as many readings as leave 40 a swing."""
    step = float(np.median(np.diff(time)))
    each = max(1, int(period / step / _FINE))
    count = len(time) // each * each
    if each == 1:
        return time, values
    return time[:count].reshape(-1, each).mean(axis=1), values[:count].reshape(-1, each).mean(axis=1)
