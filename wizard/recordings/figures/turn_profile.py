"""The envelope of a recording by the drum's angle: what beats with the turn, whatever the speed does."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import SignalKind
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

MOST_ANGLES = 48
"""The most values a turn."""

_FEWEST_ANGLES = 8
_ABOVE = 4.5  # times the drum's speed: below it are its first orders
_LEAST_ABOVE = 20.0
_HIGHEST = 0.45  # of the rate
_MARGIN = 0.75


def envelope(signal: RecordedSignal, above: float) -> Array:
    """Return how large what is faster than ``above`` Hz is at each time, shape (n,), of a motion over all axes; of a
    sound its own envelope, above 500 Hz, about its level.
    """
    if signal.kind is SignalKind.SOUND:
        return np.asarray(signal.values[:, 1])
    from scipy.signal import butter, sosfiltfilt  # late: scipy takes long to load

    even = np.linspace(signal.time[0], signal.time[-1], len(signal.time))
    sos = butter(4, above, "highpass", fs=signal.rate, output="sos")
    fast = np.stack([sosfiltfilt(sos, np.interp(even, signal.time, axis)) for axis in signal.values.T])
    size: Array = np.interp(signal.time, even, np.sqrt(np.sum(fast**2, axis=0)))
    return size


def above_orders(signal: RecordedSignal, top: float) -> float | None:
    """Return from which frequency on a motion's envelope is free of the first orders, Hz; None where it is read too
    slowly for that. ``top``: turns a second.
    """
    above = max(_ABOVE * top, _LEAST_ABOVE)
    return above if above < 0.7 * _HIGHEST * signal.rate else None


def by_angle(signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch, size: Array) -> Array | None:
    """Return ``size`` (n,) by angle, shape (turns, angles): the mean over each part of a turn. None where a turn has
    too few readings, or there are too few turns.
    """
    inside = (signal.time >= stretch.start + _MARGIN) & (signal.time <= stretch.end - _MARGIN)
    time, values = signal.time[inside], size[inside]
    if len(time) < 100:
        return None
    turns = course.phase(time) / math.tau
    known = ~np.isnan(turns)
    turns, values = turns[known], values[known]
    if len(turns) < 100 or turns[-1] - turns[0] < 10:
        return None
    a_turn = len(turns) / (turns[-1] - turns[0])
    angles = int(min(MOST_ANGLES, a_turn / 1.2))
    if angles < _FEWEST_ANGLES:
        return None
    whole = np.concatenate([[0.0], np.cumsum((values[1:] + values[:-1]) / 2 * np.diff(turns))])
    first, last = math.ceil(turns[0]), math.floor(turns[-1])
    edges = np.linspace(first, last, (last - first) * angles + 1)
    means = np.diff(np.interp(edges, turns, whole)) * angles
    return np.asarray(means.reshape(-1, angles))
