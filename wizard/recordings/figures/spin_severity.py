"""How loud each phase is, and the machine's vibration velocity in the spin on a standard's scale."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.recordings.course.line_strength import STEP, WINDOW, LineStrength
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading import gain_change
from wizard.recordings.reading.recorded_signal import RecordedSignal

EDGES = (0.71, 1.8, 4.5)
"""Edges of the zones A to D, mm/s rms, class I (ISO 10816-1, Table B.1), for 10 to 1000 Hz and 600 to 12000 rpm."""

_ZONES = "ABCD"
_LOWEST, _HIGHEST, _LEAST_RPM = 10.0, 1000.0, 600.0
_BINS = 1.5 / WINDOW / STEP  # of one Hann line's noise bandwidth
_SCALE = 0.05


@dataclass(frozen=True, slots=True)
class PhaseLevel:
    """How loud a stretch is: ``rms`` and ``peak`` in ``unit`` (m/s2 over all axes; of a sound dB against full scale),
    the standard uncertainty of the rms, and its ``slowest`` and ``fastest`` speed in rpm, None where none is seen.
    """

    stretch: PhaseStretch
    rms: float
    rms_u: float
    peak: float
    unit: str
    slowest: float | None
    fastest: float | None


def phase_level(signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch) -> PhaseLevel:
    """Return how loud a stretch is."""
    inside = (course.at >= stretch.start) & (course.at < stretch.end)
    speed = course.speed[inside]
    speed = 60 * speed[~np.isnan(speed)]
    slow, fast = (float(speed.min()), float(speed.max())) if len(speed) else (None, None)
    if signal.frames is not None:
        level = gain_change.levels(signal.frames, 20.0, signal.file_rate / 2)
        at = (np.arange(len(level)) + 0.5) * signal.frames.seconds
        loud = level[(at >= stretch.start) & (at < stretch.end)]
        loud = loud if len(loud) else level[:1]
        rms = 10 * math.log10(float(np.mean(10 ** (loud / 10))) + 1e-20)
        spread = float(np.std(loud)) / math.sqrt(len(loud))
        return PhaseLevel(stretch, rms, spread, float(loud.max()), "dB", slow, fast)
    chosen = (signal.time >= stretch.start) & (signal.time < stretch.end)
    size = np.linalg.norm(signal.values[chosen], axis=1) if chosen.any() else np.zeros(1)
    rms = float(np.sqrt(np.mean(size**2)))
    pieces = np.array_split(size**2, max(2, int(stretch.end - stretch.start)))
    means = np.array([piece.mean() for piece in pieces if len(piece)])
    spread = float(np.std(means)) / math.sqrt(len(means)) / (2 * rms) if rms else 0.0
    return PhaseLevel(stretch, rms, spread, float(size.max()), "m/s2", slow, fast)


def severity(
    signal: RecordedSignal, lines: LineStrength, course: SpeedCourse, stretch: PhaseStretch
) -> SpinFigure:
    """Return the vibration velocity in the spin, mm/s rms, of the worst axis taken for all, on ISO 10816-1's scale."""
    kind = FigureKind.SEVERITY
    if signal.kind is SignalKind.SOUND:
        return refused(kind, "mm/s", "A sound gives no m/s2, so no vibration velocity.")
    if signal.two_rates:
        why = "It was read at two rates: what is too fast for the slower one reads as slower, so no velocity is told."
        return refused(kind, "mm/s", why)
    if not signal.calibrated:
        return refused(kind, "mm/s", "The unit of the motion isn't named, so no vibration velocity is told.")
    inside = (lines.at > stretch.start + WINDOW / 2) & (lines.at < stretch.end - WINDOW / 2) & ~lines.missing
    band = (lines.frequencies >= _LOWEST) & (lines.frequencies <= min(_HIGHEST, signal.highest))
    rpm = 60 * float(np.nanmedian(course.speed_at(lines.at[inside]))) if inside.any() else 0.0
    if inside.sum() < 2 or rpm < _LEAST_RPM:
        return refused(
            kind, "mm/s", f"The scale of ISO 10816-1 begins at {_LEAST_RPM:.0f} rpm; no spin here is so fast."
        )
    squares = lines.power[inside][:, band] / 2 / (math.tau * lines.frequencies[band]) ** 2
    each = 1000 * np.sqrt(squares.sum(axis=1) / _BINS)
    value = float(np.mean(each))
    known = math.hypot(float(np.std(each)) / math.sqrt(len(each) / 2), _SCALE * value)
    zone = _ZONES[sum(value >= edge for edge in EDGES)]
    top = min(_HIGHEST, signal.highest)
    says = (
        f"In the spin the cabinet moves at {value:.2g} mm/s rms ({_LOWEST:.0f} to {top:.0f} Hz, all axes "
        f"together), zone "
        f"{zone} of ISO 10816-1 class I: a scale for other machines, no verdict on a washer; a tub's own swing lies "
        "below it."
    )
    return SpinFigure(
        kind, value, known, "mm/s", says, "spectra of two seconds, acceleration over angular frequency"
    )
