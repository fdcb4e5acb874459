"""How far it sways while the drum runs through the tub's own swing, against how far at speed: so the load drops out."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.run_curve import run_curve
from wizard.recordings.figures.seen_speeds import TUB_BELOW
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading.recorded_signal import RecordedSignal

_AT_SPEED = 0.9  # of the fastest: what is faster is at speed
_FEWEST = 5
_SLOWEST = 90 / 60  # turns a second: slower nothing of a washer's tub swings (an estimate)
_SCALE = 0.03


def ramp_sway(signal: RecordedSignal, course: SpeedCourse, ramp: PhaseStretch | None) -> SpinFigure:
    """Return the largest swing below 260 rpm over the swing near full speed, both once a turn, of the ramp."""
    kind = FigureKind.SWAY
    if signal.kind is SignalKind.SOUND:
        return refused(kind, "1", "A sound doesn't say how far the machine sways.")
    curve = run_curve(signal, course, ramp) if ramp else None
    if curve is None:
        return refused(kind, "1", "The way up to the spin is seen too little to tell how far it sways.")
    slow = (curve.speed >= _SLOWEST) & (curve.speed < TUB_BELOW)
    fast = curve.speed > _AT_SPEED * float(curve.speed.max())
    if slow.sum() < _FEWEST or fast.sum() < _FEWEST or float(curve.speed.max()) < 2 * TUB_BELOW:
        return refused(kind, "1", "The slow part of the ramp, or the fast one, is seen too little.")
    places = np.flatnonzero(slow)
    most = places[int(np.argmax(curve.swing[places]))]
    steady, noise = float(np.median(curve.swing[fast])), float(np.median(curve.swing_u[fast]))
    if steady < 3 * noise:
        return refused(kind, "1", "At speed it sways too little to set the ramp against it.")
    swing, swing_u = float(curve.swing[most]), float(curve.swing_u[most])
    value = math.sqrt(max(swing**2 - 2 * swing_u**2, 0.0)) / steady
    scatter = float(np.std(curve.swing[fast])) / steady / math.sqrt(fast.sum() / 4)
    known = math.hypot(swing_u / steady, value * math.hypot(_SCALE, noise / steady, scatter))
    rpm = 60 * float(curve.speed[most])
    says = f"At {rpm:.0f} rpm in the ramp it sways {value:.2g} times as far as near full speed, where the phone lies."
    by = "swing once a turn below 260 rpm over that near full speed, whatever the load's unbalance"
    return SpinFigure(kind, value, known, "1", says, by, at=float(curve.at[most]), present=True)
