"""Whether a phone was held in a hand: by its tremor, and by gravity that wanders in it, while no drum is seen to turn.

Hands tremble at 4 to 12 Hz (physiological tremor, as textbooks of neurology have it; from memory) without one line,
and no hand keeps a phone's tilt. Bounds are estimates.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.domain.recording_vocabulary import SignalKind
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

_SECONDS, _HOP = 4.0, 2.0
_QUIETEST = 3  # windows
_BAND, _ABOVE, _SLOW = (4.0, 12.0), 15.0, 1.5  # Hz
_LEAST = 0.12  # m/s2 rms of all axes in the band
_ONE_LINE = 0.6  # of the band's power within 1.25 Hz: a motor, or a floor
_WHITE = 3.0  # times the power for each hertz above: a sensor's noise has as much everywhere
_WANDERS = 0.5  # degrees rms
_WIDE = 1.25  # Hz


@dataclass(frozen=True, slots=True)
class HandTremor:
    """``size`` m/s2 rms at 4 to 12 Hz, all axes together; ``wander`` of gravity's direction, degrees rms."""

    size: float
    wander: float


def hand_tremor(signal: RecordedSignal, course: SpeedCourse) -> HandTremor | None:
    """Return the tremor of the hand that held the phone, in the quietest parts where no drum is seen; None without.

    Of a motion in m/s2 with gravity alone.
    """
    if signal.kind is not SignalKind.MOTION or not signal.calibrated or len(signal.level) != 3:
        return None
    seen = course.at[~np.isnan(course.speed)]
    starts = np.arange(0.0, signal.seconds - _SECONDS, _HOP)
    free = [s for s in starts if not np.any((seen > s) & (seen < s + _SECONDS))]
    windows = sorted(
        (_window(signal, float(start)) for start in free), key=lambda w: float(np.var(w, axis=0).sum())
    )
    if not windows:
        return None
    each = [_told(window, signal.rate) for window in windows[:_QUIETEST]]
    size, line, white, wander = (float(np.median(column)) for column in zip(*each, strict=True))
    held = size > _LEAST and line < _ONE_LINE and white > _WHITE and wander > _WANDERS
    return HandTremor(size, wander) if held else None


def _window(signal: RecordedSignal, start: float) -> Array:
    """Return the readings of a window with gravity, brought to even times, shape (n, 3)."""
    even = np.arange(start, start + _SECONDS, 1 / signal.rate)
    whole = signal.values + np.asarray(signal.level)
    return np.stack([np.interp(even, signal.time, axis) for axis in whole.T], axis=1)


def _told(window: Array, rate: float) -> tuple[float, float, float, float]:
    """Return the rms in the band, the share of its strongest line, its density over that above, and the wander."""
    count = len(window)
    weight = np.hanning(count)
    frequencies = np.asarray(np.fft.rfftfreq(count, 1 / rate), dtype=np.float64)
    lines = np.fft.rfft((window - window.mean(axis=0)) * weight[:, None], axis=0)
    power = np.sum(np.abs(lines) ** 2, axis=1) * 2 / np.sum(weight**2) / count
    band, above = (frequencies >= _BAND[0]) & (frequencies <= _BAND[1]), frequencies > _ABOVE
    inside, wide = power[band], max(1, round(_WIDE * count / rate))
    whole = max(float(inside.sum()), 1e-300)
    line = float(np.convolve(inside, np.ones(wide), "same").max()) / whole
    beyond = float(power[above].mean()) if above.any() else 0.0
    return math.sqrt(whole), line, whole / band.sum() / max(beyond, 1e-300), _wander(window, frequencies)


def _wander(window: Array, frequencies: Array) -> float:
    """Return by how many degrees (rms) gravity's direction goes to and fro, slower than 1.5 Hz."""
    slow = np.fft.rfft(window, axis=0)
    slow[frequencies > _SLOW] = 0.0
    edge = len(window) // 8
    way = np.fft.irfft(slow, len(window), axis=0)[edge:-edge]
    mean = way.mean(axis=0)
    lengths = np.linalg.norm(way, axis=1) * max(float(np.linalg.norm(mean)), 1e-9)
    turned = np.degrees(np.arccos(np.clip(way @ mean / np.maximum(lengths, 1e-9), -1.0, 1.0)))
    return float(np.sqrt(np.mean(turned**2)))
