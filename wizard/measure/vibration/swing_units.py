"""The unit of a column that names none, by the size of the swing in it; and whether a swing can be one of a tub at
all.
"""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.measure.damping.decay_model import Array
from wizard.measure.vibration import decay_detection, recording_file
from wizard.measure.vibration.recording_file import Recording
from wizard.measure.vibration.recording_units import LENGTHS, factor

LEAST, MOST = 0.005, 0.030
"""How far a tub that is pressed and let go swings to each side, m: common practice."""

_LIKELY = ("m/s2", "g", "mg", "mm", "m")
"""The units that phones and loggers write, of which one is taken if it alone gives such a swing."""


def with_likely_units(recording: Recording) -> Recording:
    """Return the recording with each column that names no unit read in the one in which a tub could swing so.

    That stays a guess. Where none fits, or no swing is found, the columns stay as they are, and the fit says so.
    """
    taken = recording
    for number, column in enumerate(recording.columns):
        if column.sure or column.parts or taken.columns[number].sure:
            continue
        unit = _likely(recording, _most_moved(recording))
        if unit and unit != taken.columns[number].unit:
            taken = recording_file.guessed_unit(taken, number, unit)
    return taken


def _most_moved(recording: Recording) -> int:
    """Return which column tells the unit: one of all axes, else that which swings most of those without a unit."""
    bare = [n for n, column in enumerate(recording.columns) if not column.sure]
    return max(bare, key=lambda n: (bool(recording.columns[n].parts), recording.columns[n].swing))


def _likely(recording: Recording, number: int) -> str:
    """Return the one unit in which a column's swing is a tub's, '' if none is, or if its own unit is as likely."""
    try:
        found = decay_detection.find(recording, number)
    except ValueError:
        return ""
    column = recording.columns[number]
    half = _half_swing(column.values[found.start : found.end])
    own = _size(half, column.unit, found.period)
    if LEAST <= own <= MOST:
        return ""
    fitting = [unit for unit in _LIKELY if LEAST <= _size(half, unit, found.period) <= MOST]
    accelerations = [unit for unit in fitting if unit not in LENGTHS]
    return (accelerations or fitting or [""])[0]


def _half_swing(values: Array) -> float:
    """Return half of the range of a decay's first part, knocks left out."""
    return float(np.quantile(values, 0.995) - np.quantile(values, 0.005)) / 2


def _size(half: float, unit: str, period: float) -> float:
    """Return the swing in m that half a range of values in a unit means at a period."""
    size = half * factor(unit)
    return size if unit in LENGTHS else size * (period / math.tau) ** 2


def doubt_of_size(quantity: MotionQuantity, amplitude: float, sure: bool) -> str:
    """Return what is wrong with a swing of so many m to each side, '' if a tub may swing so.

    A unit that the file names is believed from half of what is usual up to twice as much; one that was guessed, not.
    """
    low, high = (LEAST / 2, 2 * MOST) if sure else (LEAST * 0.8, MOST * 1.2)
    if low <= amplitude <= high:
        return ""
    size = f"{amplitude:.2g} m" if amplitude >= 0.1 else f"{amplitude * 1000:.2g} mm"
    return (
        f"{quantity}: is a swing of {size} to each side by its unit; a tub swings {LEAST * 1000:.0f} to "
        f"{MOST * 1000:.0f} mm. Choose its unit (u, on the columns), or press the tub further"
    )
