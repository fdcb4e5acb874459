"""How loud the spin is beside the slow part of the ramp: what 'calm at speed' rests on."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.recordings.course.speed_course import HOP, SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch, levels
from wizard.recordings.figures.level_figures import MIDDLING
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading.recorded_signal import RecordedSignal

_OVER = 2.0  # s, over which the ramp is loudest
_FEWEST = 8  # places of the course, in the slow part of the ramp and in the spin
_SCALE = 0.03  # of an amplitude: a phone's sensor (common practice)


def spin_beside_ramp(
    signal: RecordedSignal,
    course: SpeedCourse,
    stretches: tuple[PhaseStretch, ...],
    spin: PhaseStretch | None,
) -> SpinFigure:
    """Return the rms of the spin over that of the loudest two seconds of the ramp below 300 rpm, both m/s2."""
    kind = FigureKind.CALM
    if signal.kind is SignalKind.SOUND or not signal.calibrated:
        return refused(kind, "1", "How calm it is at speed is told by a motion with its unit alone.")
    if spin is None:
        return refused(kind, "1", "No steady spin is in it, so how calm it is at speed is not told.")
    level = levels(signal, course.at)
    inside = (course.at >= spin.start + HOP) & (course.at < spin.end - HOP)
    ramping = np.zeros(len(course.at), dtype=bool)
    for one in stretches:
        if one.phase is SpinPhase.RAMP and one.end <= spin.start + 1.0:
            ramping |= (course.at >= one.start) & (course.at < one.end)
    slow = np.flatnonzero(ramping & (60 * np.nan_to_num(course.speed, nan=math.inf) < MIDDLING))
    if len(slow) < _FEWEST or inside.sum() < _FEWEST:
        return refused(
            kind, "1", "The slow part of the ramp, or the spin, is seen too little to tell how calm it is."
        )
    wide = round(_OVER / HOP)
    smooth = np.sqrt(np.convolve(level**2, np.ones(wide) / wide, "same"))
    most = slow[int(np.argmax(smooth[slow]))]
    ramp, steady = float(smooth[most]), float(np.sqrt(np.mean(level[inside] ** 2)))
    if ramp <= 0:
        return refused(kind, "1", "Nothing shakes in the ramp to set the spin against.")
    top, at = 60 * float(np.nanmedian(course.speed[inside])), 60 * float(course.speed[most])
    ratio = steady / ramp
    scatter = float(np.std(level[inside])) / max(steady, 1e-12) / math.sqrt(inside.sum() / 2)
    says = (
        f"In the spin at {top:.0f} rpm it shakes at {steady:.2f} m/s2 rms, in the ramp below {MIDDLING:.0f} rpm at "
        f"{ramp:.2f} at most (at {at:.0f} rpm): {ratio:.2g} times as much."
    )
    by = "rms of the spin over that of the loudest two seconds of the slow part of the ramp"
    known = ratio * math.hypot(_SCALE, scatter)
    return SpinFigure(kind, ratio, known, "1", says, by, at=float(course.at[most]), present=True)
