"""How far the machine swings once a turn over the drum's speed, while that rises or falls; and where it peaks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from wizard.domain.recording_vocabulary import SpinPhase
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
_BEYOND, _BEYOND_U = 4.0, 0.15  # s that are gone on with; turns a second
_SKIPPED, _SLOPE = 6, 24  # places of the course: what a resonance bends, and what tells the slope
_SPREAD = 1 / 12 - 1 / (2 * math.pi**2)  # variance of a Hann window of length 1
_NEAR = ((-3.0, 3.0), (-3.0, 0.0), (0.0, 3.0))  # s
_PAUSED = 1.5  # times as steep to one side as round it
_LEAST_TURN = 1.2  # turns a second: slower is drift


@dataclass(frozen=True, slots=True, eq=False)
class RunCurve:
    """At ``at`` s, with the drum at ``speed`` turns a second (``speed_u``): ``swing`` m, half of how far it moves to
    and fro once a turn, and its standard uncertainty ``swing_u``. ``lines``: the same by axis, complex, shape (n,
    channels). ``seen_from``: the slowest speed that was seen; what is slower is gone on with. A way up may pause.
    """

    at: Array
    speed: Array
    speed_u: Array
    swing: Array
    swing_u: Array
    lines: Complex
    seen_from: float

    def along(self, index: int) -> Array:
        """Return the swing, m, along the way in which it swings at one place of the curve."""
        way = self.lines[index] / max(float(np.linalg.norm(self.lines[index])), 1e-300)
        return np.asarray(np.abs(self.lines @ way.conj()))

    def rate_at(self, at: float) -> float:
        """Return how the speed changes near a time (s), turns a second squared; beside a pause as it does out of it."""
        offset = self.at - at
        near = [(offset >= first) & (offset <= last) for first, last in _NEAR]
        slopes = [float(np.polyfit(self.at[n], self.speed[n], 1)[0]) for n in near if n.sum() >= _FEWEST]
        both = float(np.polyfit(self.at, self.speed, 1)[0]) if not slopes else slopes[0]
        steepest = max(slopes, key=abs, default=both)
        return steepest if abs(steepest) > _PAUSED * abs(both) else both


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
    within = (course.at >= stretch.start) & (course.at <= stretch.end) & ~np.isnan(course.speed)
    seen_from = float(np.min(course.speed[within], initial=math.inf))
    course = _longer(course, stretch)
    first = stretch.start - (_BEYOND if stretch.phase is SpinPhase.RAMP else 0.0)
    last = stretch.end + (_BEYOND if stretch.phase is SpinPhase.COAST else 0.0)
    at = np.arange(max(first, 0.0), min(last, signal.seconds), _HOP)
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
    lines = found.lines[good, 0] * meter[:, None]
    speed_u = np.interp(at, course.at, np.nan_to_num(course.speed_u))
    return RunCurve(at, speed, speed_u, size * meter, swing_u, lines, seen_from)


def _longer(course: SpeedCourse, stretch: PhaseStretch) -> SpeedCourse:
    """Return a course with the slow end of a ramp, or of a coast, gone on with at its slope for a few seconds.

    Below its resonance a tub hardly shakes the cabinet, so the drum is seen late; what it shakes there is still fitted.
    """
    rising = stretch.phase is SpinPhase.RAMP
    inside = (course.at >= stretch.start) & (course.at <= stretch.end) & ~np.isnan(course.speed)
    places = np.flatnonzero(inside)
    if len(places) < _FEWEST:
        return course
    near = places[_SKIPPED : _SKIPPED + _SLOPE] if rising else places[::-1][_SKIPPED : _SKIPPED + _SLOPE]
    slope, offset = np.polyfit(course.at[near], course.speed[near], 1)
    edge = float(course.at[places[0] if rising else places[-1]])
    beyond = np.isnan(course.speed) & ((course.at < edge) if rising else (course.at > edge))
    beyond &= (np.abs(course.at - edge) <= _BEYOND) & (slope * course.at + offset >= _LEAST_TURN)
    speed = np.where(beyond, slope * course.at + offset, course.speed)
    known = np.where(beyond, _BEYOND_U, course.speed_u)
    return SpeedCourse(course.at, speed, known, course.sure)


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
    at = float(curve.at[top] + late)
    swing, blurred = _sharp(curve, near, at), float(height + slope * late + bend * late * late)
    noise = math.hypot(float(curve.swing_u[top]), (swing - blurred) / 2)
    blunt = (
        math.sqrt(2 * float(curve.swing_u[top]) / -bend) / 2
    )  # s: within so much the swing is the same but for its noise
    own = float(np.interp(at, course.at, np.nan_to_num(course.speed_u)))
    speed = float(np.interp(at, curve.at, curve.speed))
    return CurvePeak(swing, noise, at, speed, math.hypot(own, min(blunt, 1.0) * abs(curve.rate_at(at))), top)


def _sharp(curve: RunCurve, near: slice, at: float) -> float:
    """Return the swing at a time, m: what the window blurs taken off, to second order, and by the frequency that the
    machine itself swings at, which lags behind a drum that runs through a resonance.
    """
    speed = float(np.interp(at, curve.at, curve.speed))
    bend, slope, line = np.polyfit(curve.at[near] - at, curve.lines[near], 2)
    lags = float(np.imag(np.vdot(line, slope))) / max(float(np.vdot(line, line).real), 1e-300) / math.tau
    own = max(speed + lags, speed / 2)
    return float(np.linalg.norm(line - bend * (TURNS / speed) ** 2 * _SPREAD)) * (speed / own) ** 2
