"""The peak of a run-up or a coast-down, and the damping that it shows, with what the sweep does to either."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.run_curve import MOST_PEAKS, CurvePeak, RunCurve, curve_peaks, run_curve
from wizard.recordings.figures.seen_speeds import TUB_BELOW, no_peak
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.figures.sweep_bias import half_power, ratio_of, swept, unswept
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

_NARROW, _WIDE = 0.45, 2.4  # of the peak's speed: where half power is looked for
_CLEAR = 8.0  # times its noise, that a peak must be for half power
_POINTS = 5  # at half power or above
_OWN = 0.12  # of the ratio: feet, cabinet and dry friction, by made machines
_TOGETHER = 0.5  # of the speed's uncertainty that two edges don't share, by made machines
_VAGUE = 0.5  # an uncertainty beyond this share of the ratio is no answer
_UNSEEN = 0.3  # of the ratio, where the slower side of the peak was not seen but gone on with
_MOST = 0.4  # of the ratio, that the sweep may have changed
_DAMPED = (0.03, 0.25)  # damping ratios that bound the sweep's shift where the damping can't be read
_HIGHEST = 0.35
_SAME = (
    0.12  # of the speed: two ramps' sweeps shift one peak by less than that against each other (an estimate)
)
_BELOW = 0.9  # of the lower half-power speed: so far down the speed must be seen
_BY = (
    "amplitude once a turn over four turns, each reading at its own time; the sweep's shift by a followed tub"
)
_TOO_FAST = "the drum runs through it so fast that the sweep makes most of its width"

PEAKS = {SpinPhase.RAMP: FigureKind.RUN_UP_PEAK, SpinPhase.COAST: FigureKind.COAST_PEAK}
DAMPINGS = {SpinPhase.RAMP: FigureKind.RUN_UP_DAMPING, SpinPhase.COAST: FigureKind.COAST_DAMPING}
_WHERE = {SpinPhase.RAMP: "running up", SpinPhase.COAST: "coasting down"}


def run_figures(
    signal: RecordedSignal, course: SpeedCourse, stretch: PhaseStretch, *earlier: PhaseStretch
) -> list[SpinFigure]:
    """Return the peaks and the damping of a ramp or a coast, each told or refused in words.

    ``earlier`` ramps tell of peaks that the last one doesn't show, each by its own sweep.
    """
    kind, damping, where = PEAKS[stretch.phase], DAMPINGS[stretch.phase], _WHERE[stretch.phase]
    if signal.kind is SignalKind.SOUND:
        return [refused(kind, "rpm", "A sound doesn't say how far the machine swings.")]
    curves = [found for run in (stretch, *reversed(earlier)) if (found := run_curve(signal, course, run))]
    if not curves:
        return [
            refused(kind, "rpm", f"While {where} the drum's speed is seen too little to look for a peak.")
        ]
    peaks = _apart([(peak, curve) for curve in curves for peak in curve_peaks(curve, course)])
    if not peaks:
        return [no_peak(kind, where, curves, _BY)]
    tub, swept_in = next(((p, c) for p, c in peaks if p.speed < TUB_BELOW), (None, curves[0]))
    why = f"no peak lies below {60 * TUB_BELOW:.0f} rpm, where a tub bounces; what swings above it is another thing"
    read = _damping(swept_in, tub, swept_in.rate_at(tub.at)) if tub else why
    figures = [
        _peak_figure(signal, peak, curve.rate_at(peak.at), read if peak is tub else why, stretch.phase)
        for peak, curve in peaks
    ]
    return [*figures, _damping_figure(damping, read, tub, where)]


def _apart(peaks: list[tuple[CurvePeak, RunCurve]]) -> list[tuple[CurvePeak, RunCurve]]:
    """Return the peaks without those that a run before them has, the largest first."""
    kept: list[tuple[CurvePeak, RunCurve]] = []
    for peak, curve in peaks:
        others = [old.speed for old, of in kept if of is not curve]
        if all(abs(peak.speed / speed - 1) > _SAME for speed in others):
            kept.append((peak, curve))
    return sorted(kept, key=lambda found: -found[0].swing)[:MOST_PEAKS]


def _damping(curve: RunCurve, peak: CurvePeak, rate: float) -> tuple[float, float, float] | str:
    """Return resonance (turns a second), damping ratio and its uncertainty; or why it can't be read."""
    near = (curve.speed > _NARROW * peak.speed) & (curve.speed < _WIDE * peak.speed)
    if peak.swing < _CLEAR * float(curve.swing_u[peak.index]):
        return "the peak stands out too little"
    if abs(rate) < 1e-3:
        return "the speed hardly changes there"
    speed, swing = curve.speed[near], curve.along(peak.index)[near]
    found = half_power(speed, swing)
    if found is None:
        return "the swing doesn't fall to half its power on both sides"
    _top, low, high = found
    if float(speed.min()) > _BELOW * low:
        return "the speed is lost close below the peak"
    if int(np.sum((speed >= low) & (speed <= high))) < _POINTS:
        return "the peak is too narrow for how fast the drum runs through it"
    own = ratio_of(low, high)
    if own > _HIGHEST:
        return "it is too flat: more than one thing swings there"
    true = unswept(float(speed[int(np.argmax(swing))]), own, rate)
    if true is None:
        narrow = swept(round(rate / peak.speed**2, 4), 0.05).damping
        return _TOO_FAST if own < 1.3 * narrow else "no tub with fluid damping gives such a peak"
    natural, ratio = true
    if abs(own - ratio) > _MOST * own:
        return _TOO_FAST
    edge = _edge_u(speed, swing, float(curve.swing_u[peak.index]), low, high)
    unseen = _UNSEEN if low < curve.seen_from else 0.0
    turned = math.hypot(*(_speed_u(curve, at) for at in (low, high))) * _TOGETHER / (high - low)
    parts = (ratio * edge, ratio * turned, _OWN * ratio, unseen * ratio, (own - ratio) / 2)
    known = math.hypot(*parts)
    return (natural, ratio, known) if known < _VAGUE * ratio else "the speed is known too little there"


def _speed_u(curve: RunCurve, speed: float) -> float:
    """Return how well a speed of a curve is known: a resonance turns the phase by which it is told."""
    order = np.argsort(curve.speed)
    return float(np.interp(speed, curve.speed[order], curve.speed_u[order]))


def _edge_u(speed: Array, swing: Array, noise: float, low: float, high: float) -> float:
    """Return the relative uncertainty of the width between two half-power speeds."""
    order = np.argsort(speed)
    slope = np.abs(np.gradient(swing[order], speed[order] + 1e-9 * np.arange(len(speed))))
    each = [noise / max(float(np.interp(edge, speed[order], slope)), 1e-12) for edge in (low, high)]
    return math.hypot(*each) / (high - low)


def _peak_figure(
    signal: RecordedSignal,
    peak: CurvePeak,
    rate: float,
    read: tuple[float, float, float] | str,
    phase: SpinPhase,
) -> SpinFigure:
    """Return the peak, with the resonance that the sweep leaves open."""
    scaled = abs(rate) / peak.speed**2 * (1 if rate > 0 else -1)
    shift = _shift(scaled, _DAMPED[0] if isinstance(read, str) else read[1])
    bound = max(abs(shift), abs(_shift(scaled, _DAMPED[1])) if isinstance(read, str) else 0.0)
    rpm, rpm_u = 60 * peak.speed, 60 * peak.speed_u
    size = (
        f"{1000 * peak.swing:.2g} mm to each side"
        if signal.calibrated
        else "the unit of its size isn't named"
    )
    side = "above" if rate > 0 else "below"
    says = (
        f"While {_WHERE[phase]} the swing peaks at {rpm:.0f} rpm ({peak.at:.0f} s): {size} where the phone lies. "
        f"The sweep puts that up to {100 * bound:.0f} % {side} where it would peak at a steady speed."
    )
    return SpinFigure(PEAKS[phase], rpm, rpm_u, "rpm", says, _BY, at=peak.at, present=True, bias=rpm * bound)


def _shift(rate: float, damping: float) -> float:
    """Return by what share a sweep shifts the peak of the swing; ``rate`` in resonances squared."""
    read = swept(round(rate, 4), round(max(0.01, damping), 2))
    steady = 1 / math.sqrt(1 - 2 * damping * damping)
    return 0.0 if math.isnan(read.peak) else read.peak / steady - 1


def _damping_figure(
    kind: FigureKind, read: tuple[float, float, float] | str, peak: CurvePeak | None, where: str
) -> SpinFigure:
    """Return the damping ratio, or why there is none."""
    if isinstance(read, str) or peak is None:
        return refused(kind, "1", f"Damping can't be read while {where}: {read}.")
    natural, ratio, ratio_u = read
    says = (
        f"While {where} the peak is as wide as with a damping ratio of {ratio:.3f} at {60 * natural:.0f} rpm, as if "
        "all damping were fluid; the press test tells it better."
    )
    by = "half power of the receptance, the widening by the sweep and the window taken off"
    return SpinFigure(kind, ratio, ratio_u, "1", says, by, at=peak.at, present=True)
