"""How far the machine swings once a turn over the drum's speed, while that rises or falls; and where it peaks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.recordings.course.order_lines import Complex, order_lines
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

TURNS = 4.0
"""How many turns are weighed together (Hann)."""

_HOP = 0.1
_ORDERS = 3
_FEWEST = 12
_STANDS_OUT = 4.0  # times its own uncertainty
_PROMINENT = 0.25  # of its height
MOST_PEAKS = 3
_LEAST_TURN = 1.2  # turns a second: slower is drift


@dataclass(frozen=True, slots=True, eq=False)
class RunCurve:
    """At ``at`` s, with the drum at ``speed`` turns a second: ``swing`` m, half of how far it moves to and fro once a
    turn, and its standard uncertainty ``swing_u``. ``lines``: the same by axis, complex, shape (n, channels).
    ``rate``: of the speed, turns a second squared, in the mean.
    """

    at: Array
    speed: Array
    swing: Array
    swing_u: Array
    lines: Complex
    rate: float

    def along(self, index: int) -> Array:
        """Return the swing, m, along the way in which it swings at one place of the curve."""
        way = self.lines[index] / max(float(np.linalg.norm(self.lines[index])), 1e-300)
        return np.asarray(np.abs(self.lines @ way.conj()))


@dataclass(frozen=True, slots=True)
class CurvePeak:
    """The largest swing of a curve: ``swing`` m at ``at`` s and ``speed`` turns a second; ``speed_u`` without the
    sweep's own shift. ``index`` of it in the curve.
    """

    swing: float
    swing_u: float
    at: float
    speed: float
    speed_u: float
    index: int


def run_curve(signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch) -> RunCurve | None:
    """Return the curve of a ramp or a coast of a motion; None where too little of it can be told."""
    at = np.arange(stretch.start, stretch.end, _HOP)
    speed = course.speed_at(at)
    seen = ~np.isnan(speed) & (speed >= _LEAST_TURN)
    at, speed = at[seen], speed[seen]
    if len(at) < _FEWEST:
        return None
    found = order_lines(signal.time, signal.values, course.phase(signal.time), at, TURNS / speed, _ORDERS)
    good = np.isfinite(found.noise).all(axis=1)
    if good.sum() < _FEWEST:
        return None
    at, speed = at[good], speed[good]
    meter = 1 / (math.tau * speed) ** 2
    size = found.size(1)[good]
    swing_u = np.sqrt(np.mean(found.noise[good] ** 2, axis=1)) * meter
    rate = float(np.polyfit(at, speed, 1)[0])
    lines = found.lines[good, 0] * meter[:, None]
    return RunCurve(at, speed, size * meter, swing_u, lines, rate)


def curve_peaks(curve: RunCurve, course: SpeedCourse) -> list[CurvePeak]:
    """Return the peaks of a curve that stand out of their noise and of what lies beside them, the largest first.

    None that lies at an end of it.
    """
    from scipy.signal import find_peaks  # late: scipy takes long to load

    smooth = np.convolve(np.pad(curve.swing, 2, mode="edge"), np.ones(5) / 5, "valid")
    tops, shown = find_peaks(smooth, prominence=_STANDS_OUT * float(np.median(curve.swing_u)))
    found = []
    for top, prominence in zip(tops, shown["prominences"], strict=True):
        if prominence >= _PROMINENT * smooth[top] and smooth[top] > _STANDS_OUT * curve.swing_u[top]:
            peak = _peak_near(curve, course, int(top))
            found += [peak] if peak else []
    return sorted(found, key=lambda peak: -peak.swing)[:MOST_PEAKS]


def _peak_near(curve: RunCurve, course: SpeedCourse, top: int) -> CurvePeak | None:
    """Return the peak round one place of a curve, by a parabola; None if it bends the other way."""
    near = slice(max(0, top - 5), top + 6)
    bend, slope, height = np.polyfit(curve.at[near] - curve.at[top], curve.swing[near], 2)
    if bend >= 0:
        return None
    late = float(np.clip(-slope / 2 / bend, -5 * _HOP, 5 * _HOP))
    swing = float(height + slope * late + bend * late * late)
    at = float(curve.at[top] + late)
    noise = float(curve.swing_u[top])
    blunt = math.sqrt(2 * noise / -bend) / 2  # s: within so much the swing is the same but for its noise
    own = float(np.interp(at, course.at, np.nan_to_num(course.speed_u)))
    speed = float(np.interp(at, curve.at, curve.speed))
    return CurvePeak(swing, noise, at, speed, math.hypot(own, min(blunt, 1.0) * abs(curve.rate)), top)
