"""When it bangs: short blows that stand far out of what is round them, from first turning to the end of the coast."""

from __future__ import annotations

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.recordings.course.lone_peaks import over_neighbours
from wizard.recordings.course.near_speed import near_speed
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.figures.turn_profile import envelope
from wizard.recordings.reading.recorded_signal import Array, Mask, RecordedSignal

MOST = 6
"""The most bangs that are named; the rest are counted."""

_TIMES = {SignalKind.MOTION: 6.0, SignalKind.SOUND: 5.0}
_ROUND = 3.0  # s
_APART = 0.4
_ALONE = 2.5  # times what comes again and again; knocks each turn reach 2.1 (by made machines)
_ALONE_SLOWLY = 4.0  # the same where the drum isn't seen to turn fast: a click stands out of so little
_SHORT, _SHORT_ALONE = (4, 0.75), 2.0  # slots and share; times: a resonance that is run through lasts longer
_PHASES = (SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST)
_ABOVE = 0.12  # of the rate
_BY = "an envelope that stands far out of its running median; its size is known to a tenth (an estimate)"
_KNOWN = 0.1  # of a bang's size, between two readings: an estimate


def bangs(
    signal: RecordedSignal, course: SpeedCourse, stretches: tuple[PhaseStretch, ...]
) -> tuple[list[SpinFigure], int]:
    """Return the loudest bangs in the order of time, and how many there are.

    They are looked for wherever the drum may turn, its speed seen or lost; nowhere if it is never seen to.
    """
    fast = _in(signal.time, [s for s in stretches if s.phase in _PHASES])
    if not fast.any():
        return [], 0
    size = envelope(signal, _ABOVE * signal.rate)
    if signal.kind is SignalKind.SOUND:
        size = size - float(np.quantile(size, 0.005))
    ratio = size / np.maximum(_usual(size, round(_ROUND * signal.rate)), 1e-30)
    alone = over_neighbours(signal.time, size)
    turning = _in(signal.time, _turning(stretches))
    slowly = turning & ~fast & (alone > _ALONE_SLOWLY) & (size > float(np.median(size[fast])))
    stands = (ratio > _TIMES[signal.kind]) & ((fast & (alone > _ALONE)) | slowly)
    found = _events(signal.time, ratio, stands)
    if not found:
        return [_none(signal, turning, fast)], 0
    loudest = sorted(sorted(found, key=lambda n: -ratio[n])[:MOST])
    return [_figure(signal, course, n, ratio) for n in loudest], len(found)


def _turning(stretches: tuple[PhaseStretch, ...]) -> list[PhaseStretch]:
    """Return the stretches from the first in which the drum may turn to the last in which it is seen to."""
    last = max(n for n, stretch in enumerate(stretches) if stretch.phase in _PHASES)
    return [stretch for stretch in stretches[: last + 1] if stretch.phase is not SpinPhase.REST]


def _in(time: Array, stretches: list[PhaseStretch]) -> Mask:
    """Return which times lie in one of the stretches, shape (n,)."""
    inside = np.zeros(len(time), dtype=bool)
    for stretch in stretches:
        inside |= (time >= stretch.start) & (time < stretch.end)
    return inside


def _none(signal: RecordedSignal, turning: Mask, fast: Mask) -> SpinFigure:
    """Return the figure of no bang; refused where a single peak of a motion stands out that is no short blow."""
    unit = "m/s2" if signal.kind is SignalKind.MOTION else "dB"
    if signal.kind is SignalKind.MOTION:
        size = np.linalg.norm(signal.values, axis=1)
        alone = over_neighbours(signal.time, size)
        short = over_neighbours(signal.time, size, *_SHORT) > _SHORT_ALONE
        slowly = turning & (alone > _ALONE_SLOWLY) & (size > float(np.median(size[fast])))
        stands = np.where(short & (slowly | (fast & (alone > _ALONE))), alone, 0.0)
        at = int(np.argmax(stands))
        if stands[at]:
            large = f" of {size[at]:.2g} m/s2" if signal.calibrated else ""
            why = f"A single peak{large} stands out at {signal.time[at]:.1f} s; whether it bangs there isn't told."
            return refused(FigureKind.BANG, unit, why)
    says = "No bang stands out while the drum runs up, spins or coasts."
    return SpinFigure(FigureKind.BANG, None, 0.0, unit, says, _BY, present=False)


def _usual(size: Array, count: int) -> Array:
    """Return the running median of about ``count`` values, at a tenth of their places."""
    from scipy.ndimage import median_filter  # late: scipy takes long to load

    thin = max(1, count // 60)
    middle = median_filter(size[::thin], max(3, count // thin | 1), mode="nearest")
    return np.asarray(np.interp(np.arange(len(size)), np.arange(len(middle)) * thin, middle))


def _events(time: Array, ratio: Array, stands: Mask) -> list[int]:
    """Return where each event is largest; what lies closer than 0.4 s is one."""
    found: list[int] = []
    for n in np.flatnonzero(stands):
        if found and time[n] - time[found[-1]] < _APART:
            found[-1] = int(n) if ratio[n] > ratio[found[-1]] else found[-1]
        else:
            found.append(int(n))
    return found


def _figure(signal: RecordedSignal, course: SpeedCourse, index: int, ratio: Array) -> SpinFigure:
    """Return one bang: when, how large, and how fast the drum turned then."""
    at = float(signal.time[index])
    speed = near_speed(course, at)
    when = "at a speed that isn't known"
    if speed is not None:
        turns, seen = speed
        when = (
            f"at {60 * turns:.0f} rpm"
            if seen
            else f"at some {10 * round(6 * turns)} rpm, which isn't seen just then"
        )
    if signal.kind is SignalKind.MOTION:
        near = slice(max(0, index - 3), index + 4)
        size = float(np.max(np.linalg.norm(signal.values[near], axis=1)))
        value, unit, how = (
            size,
            "m/s2",
            f"{size:.2g} m/s2" if signal.calibrated else f"{ratio[index]:.0f} times",
        )
    else:
        value = 20 * float(np.log10(ratio[index]))
        unit, how = "dB", f"{value:.0f} dB over what is round it"
    says = f"It bangs at {at:.1f} s, {when}: {how}."
    return SpinFigure(FigureKind.BANG, value, _KNOWN * value, unit, says, _BY, at=at, present=True)
