"""How far the machine shakes in numbers that a limit may judge: the worst ten seconds, the largest peak, and the
middling speeds against the spin.
"""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch, levels
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

WORST_SECONDS = 10.0
"""Over so many seconds the worst rms is taken, as a phone shows it."""

MIDDLING = 300.0
"""rpm: slower a tub bounces, and what it does there is told by the peaks of run-up and coast-down."""

_BELOW_SPIN = 0.85  # of the spin's speed: what is faster is the spin
_HOP = 0.25  # s
_OVER = 2.0  # s, over which middling speeds are set against the spin
_SCALE = 0.03  # of an amplitude: a phone's sensor, and where it lies (common practice)
_FEWEST = 8


def level_figures(
    signal: RecordedSignal,
    course: SpeedCourse,
    stretches: tuple[PhaseStretch, ...],
    spin: PhaseStretch | None,
) -> list[SpinFigure]:
    """Return the worst ten seconds and the largest peak, m/s2 over all axes, and the middling speeds over the spin."""
    kinds = ((FigureKind.WORST, "m/s2"), (FigureKind.PEAK, "m/s2"), (FigureKind.MIDDLE, "1"))
    if signal.kind is SignalKind.SOUND:
        return [
            refused(kind, unit, "A sound doesn't say how far the machine shakes.") for kind, unit in kinds
        ]
    figures = [_worst(signal), _peak(signal)]
    if not signal.calibrated:
        why = "The unit of the motion isn't named, so how far it shakes is not told."
        figures = [refused(kind, unit, why) for kind, unit in kinds[:2]]
    return [*figures, _middle(signal, course, stretches, spin)]


def rolling(signal: RecordedSignal, seconds: float) -> tuple[Array, Array]:
    """Return middles, s, and rms over all axes of each window of so many seconds, a quarter second apart.

    The readings count by the time that each stands for, so that uneven ones weigh alike.
    """
    squares = np.sum(signal.values**2, axis=1)
    stands_for = np.minimum(np.gradient(signal.time), 4 / signal.rate)
    power = np.concatenate([[0.0], np.cumsum(squares * stands_for)])
    held = np.concatenate([[0.0], np.cumsum(stands_for)])
    starts = np.arange(0.0, max(signal.seconds - seconds, 0.0) + 1e-9, _HOP)
    first = np.searchsorted(signal.time, starts)
    last = np.searchsorted(signal.time, starts + seconds)
    mean = (power[last] - power[first]) / np.maximum(held[last] - held[first], 1e-9)
    return starts + seconds / 2, np.sqrt(np.maximum(mean, 0.0))


def _worst(signal: RecordedSignal) -> SpinFigure:
    at, level = rolling(signal, WORST_SECONDS)
    worst = int(np.argmax(level))
    value = float(level[worst])
    says = f"In the worst ten seconds, round {at[worst]:.0f} s, it shakes at {value:.2f} m/s2 rms, all axes together."
    by = "root of the mean square over ten seconds; a phone's scale is known to 3 % (common practice)"
    return SpinFigure(
        FigureKind.WORST, value, _SCALE * value, "m/s2", says, by, at=float(at[worst]), present=True
    )


def _peak(signal: RecordedSignal) -> SpinFigure:
    size = np.linalg.norm(signal.values, axis=1)
    most = int(np.argmax(size))
    value, at = float(size[most]), float(signal.time[most])
    says = f"Its largest single peak is {value:.1f} m/s2, at {at:.0f} s."
    by = "the largest reading; between two readings it may have been a tenth more (an estimate)"
    return SpinFigure(
        FigureKind.PEAK, value, 0.1 * value / 2, "m/s2", says, by, at=at, present=True, bias=0.0
    )


def _middle(
    signal: RecordedSignal,
    course: SpeedCourse,
    stretches: tuple[PhaseStretch, ...],
    spin: PhaseStretch | None,
) -> SpinFigure:
    kind = FigureKind.MIDDLE
    if spin is None:
        return refused(kind, "1", "No steady spin is in it to set the middling speeds against.")
    level = levels(signal, course.at)
    inside = (course.at >= spin.start + 0.5) & (course.at < spin.end - 0.5)
    top = 60 * float(np.nanmedian(course.speed[inside])) if inside.any() else 0.0
    ramps = [
        s for s in stretches if s.phase in (SpinPhase.RAMP, SpinPhase.SPIN) and s.end <= spin.start + 1.0
    ]
    speed = 60 * course.speed
    ramping = (
        np.any([(course.at >= s.start) & (course.at < s.end) for s in ramps], axis=0) if ramps else False
    )
    middling = ramping & (speed >= MIDDLING) & (speed <= _BELOW_SPIN * top)
    if np.sum(middling) < _FEWEST:
        return refused(kind, "1", "The way up to the spin is too short to set middling speeds against it.")
    wide = round(_OVER / _HOP)
    smooth = np.sqrt(np.convolve(level**2, np.ones(wide) / wide, "same"))
    places = np.flatnonzero(middling)
    most = places[int(np.argmax(smooth[places]))]
    steady = float(np.sqrt(np.mean(level[inside] ** 2)))
    if steady <= 0:
        return refused(kind, "1", "Nothing shakes in the spin to set the middling speeds against.")
    ratio = float(smooth[most]) / steady
    known = (
        math.hypot(_SCALE, float(np.std(level[inside])) / steady / math.sqrt(max(1, inside.sum() / 2)))
        * ratio
    )
    says = (
        f"At middling speeds it shakes most at {speed[most]:.0f} rpm, {ratio:.2f} times as much as in the spin at "
        f"{top:.0f} rpm."
    )
    by = "rms over two seconds on the way up, against the rms of the spin"
    return SpinFigure(kind, ratio, known, "1", says, by, at=float(course.at[most]), present=True)
