"""Modes that stay: what swings at one frequency while the drum's speed changes."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.recordings.course.line_strength import STEP, WINDOW, LineStrength
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading.recorded_signal import Array, Mask, RecordedSignal

MOST = 3
"""The most modes that are named."""

_LOWEST = 4.0  # Hz: below it the tub itself swings
_ORDERS = 8
_BESIDE = (
    1.5  # Hz to each side of an order that are left out: half as much again as its line is wide in a window
)
_FEWEST = 16  # windows that see a frequency free of orders
_RANGE = 1.5  # the range of speeds that is needed
_STANDS_OUT = 4.0  # dB over the median within 8 Hz
_WIDE = 8.0
_ROUNDS = 6
_FASTEST = 0.95  # of the windows: the speed that the drum reaches
_NEIGHBOURS = 1.5  # a mode beside it moves a peak by so many times more than chance does, by made machines


def fixed_modes(signal: RecordedSignal, lines: LineStrength, course: SpeedCourse) -> list[SpinFigure]:
    """Return the frequencies that stand out, the drum's orders left out, over windows of many speeds."""
    kind = FigureKind.FIXED_MODE
    if signal.kind is SignalKind.SOUND:
        return [refused(kind, "Hz", "A sound doesn't say which modes of the machine stay.")]
    speed = course.speed_at(lines.at)
    seen = ~np.isnan(speed) & ~lines.missing & (speed > 1.5)
    if seen.sum() < 2 * _FEWEST or float(np.max(speed[seen])) < _RANGE * float(np.min(speed[seen])):
        return [refused(kind, "Hz", "The speed changes too little to tell modes that stay from what turns.")]
    level, count = _without_orders(lines, speed, seen)
    top = float(np.quantile(speed[seen], _FASTEST))
    return [_figure(*mode, top) for mode in modes_in(lines.frequencies, level, count)] or [
        SpinFigure(
            kind,
            None,
            0.0,
            "Hz",
            "No mode stays at one frequency while the speed changes.",
            _BY,
            present=False,
        )
    ]


_BY = "mean spectrum of many speeds with the drum's orders left out"


def _without_orders(lines: LineStrength, speed: Array, seen: Mask) -> tuple[Array, Array]:
    """Return the level of each frequency, dB, over windows in which no order lies near, and how many there are.

    Each window has a loudness of its own, and each frequency a level: both are fitted to what is free of orders, so
    that frequencies that are seen in other windows than their neighbours make no step.
    """
    there = np.flatnonzero(seen)
    free = np.ones((len(there), len(lines.frequencies)), dtype=bool)
    drift = np.abs(np.gradient(np.nan_to_num(speed), lines.at))
    for row, n in enumerate(there):
        for order in range(1, _ORDERS + 1):
            wide = _BESIDE + order * min(drift[n], 1.0) * WINDOW / 2
            free[row] &= np.abs(lines.frequencies - order * speed[n]) > wide
    usual = np.maximum(np.median(lines.power[there], axis=1, keepdims=True), 1e-30)
    whole = np.where(free, 10 * np.log10(lines.power[there] / usual + 1e-9), 0.0)
    count, weight = free.sum(axis=0), free.astype(float)
    loud, level = np.zeros(len(there)), np.zeros(len(lines.frequencies))
    for _ in range(_ROUNDS):
        level = (whole.sum(axis=0) - loud @ weight) / np.maximum(count, 1)
        loud = (whole.sum(axis=1) - weight @ level) / np.maximum(free.sum(axis=1), 1)
    return level, count.astype(float)


def modes_in(frequencies: Array, level: Array, count: Array) -> list[tuple[float, float, float]]:
    """Return frequency, its uncertainty and dB over what is beside, of each mode, the highest first."""
    from scipy.ndimage import median_filter  # late: scipy takes long to load
    from scipy.signal import find_peaks

    smooth = np.convolve(np.pad(level, 4, mode="edge"), np.hanning(11)[1:-1] / np.hanning(11).sum(), "valid")
    over = smooth - median_filter(smooth, round(2 * _WIDE / STEP) | 1, mode="nearest")
    tops, shown = find_peaks(over, height=_STANDS_OUT, prominence=_STANDS_OUT / 2, width=1, rel_height=0.5)
    found = []
    for top, width in zip(tops, shown["widths"], strict=True):
        if frequencies[top] >= _LOWEST and count[top] >= _FEWEST:
            windows = count[top] * 0.5 / (WINDOW / 2)
            spread = _NEIGHBOURS * float(width) * STEP / math.sqrt(12)
            known = math.hypot(STEP, spread / math.sqrt(max(1.0, windows / 8)))
            found.append((float(frequencies[top]), known, float(over[top])))
    return sorted(found, key=lambda mode: -mode[2])[:MOST]


def _figure(frequency: float, known: float, over: float, top: float) -> SpinFigure:
    """Return one mode; ``top``: the fastest that the drum turns, turns a second."""
    meets = f"the drum meets it at {60 * frequency:.0f} rpm"
    if frequency > top:
        meets = f"the drum, which reaches {60 * top:.0f} rpm, doesn't turn so fast"
    says = (
        f"Something swings at {frequency:.1f} Hz whatever the drum's speed ({over:.0f} dB over what is beside): feet, "
        f"floor or cabinet; {meets}."
    )
    return SpinFigure(FigureKind.FIXED_MODE, frequency, known, "Hz", says, _BY, present=True)
