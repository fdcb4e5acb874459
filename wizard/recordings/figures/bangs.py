"""When it bangs: short blows that stand far out of what is round them, while the drum runs up, spins or coasts."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.spin_figure import SpinFigure
from wizard.recordings.figures.turn_profile import envelope
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal

MOST = 6
"""The most bangs that are named; the rest are counted."""

_TIMES = {SignalKind.MOTION: 6.0, SignalKind.SOUND: 5.0}
_ROUND = 3.0  # s
_APART = 0.4
_EACH_TURN = 0.3  # bangs a turn: more are a knock each turn
_FEW, _NEAR, _MOST_NEAR = 4, 0.12, 0.6  # by chance a quarter of them lie so near to whole turns
_PHASES = (SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST)
_ABOVE = 0.12  # of the rate
_BY = "an envelope that stands far out of its running median; its size is known to a tenth (an estimate)"
_KNOWN = 0.1  # of a bang's size, between two readings: an estimate


def bangs(
    signal: RecordedSignal, course: SpeedCourse, stretches: tuple[PhaseStretch, ...]
) -> tuple[list[SpinFigure], int]:
    """Return the loudest bangs in the order of time, and how many there are."""
    size = envelope(signal, _ABOVE * signal.rate)
    if signal.kind is SignalKind.SOUND:
        size = size - float(np.quantile(size, 0.005))
    usual = _usual(size, round(_ROUND * signal.rate))
    ratio = size / np.maximum(usual, 1e-30)
    found = []
    for stretch in stretches:
        if stretch.phase in _PHASES:
            inside = np.flatnonzero((signal.time >= stretch.start) & (signal.time < stretch.end))
            hits = _events(signal.time, ratio, inside, _TIMES[signal.kind])
            turns = (
                float(np.nansum(course.speed[(course.at >= stretch.start) & (course.at < stretch.end)])) / 4
            )
            if len(hits) < max(2.0, _EACH_TURN * turns) and not _by_turns(course, signal.time[hits]):
                found += hits
    if not found and any(stretch.phase in _PHASES for stretch in stretches):
        unit = "m/s2" if signal.kind is SignalKind.MOTION else "dB"
        says = "No bang stands out while the drum runs up, spins or coasts."
        return [SpinFigure(FigureKind.BANG, None, 0.0, unit, says, _BY, present=False)], 0
    loudest = sorted(sorted(found, key=lambda n: -ratio[n])[:MOST])
    return [_figure(signal, course, n, ratio) for n in loudest], len(found)


def _usual(size: Array, count: int) -> Array:
    """Return the running median of about ``count`` values, at a tenth of their places."""
    from scipy.ndimage import median_filter  # late: scipy takes long to load

    thin = max(1, count // 60)
    middle = median_filter(size[::thin], max(3, count // thin | 1), mode="nearest")
    return np.asarray(np.interp(np.arange(len(size)), np.arange(len(middle)) * thin, middle))


def _events(
    time: Array, ratio: Array, inside: np.ndarray[tuple[int], np.dtype[np.intp]], times: float
) -> list[int]:
    """Return where each event is largest; what lies closer than 0.4 s is one."""
    over = inside[ratio[inside] > times]
    found: list[int] = []
    for n in over:
        if found and time[n] - time[found[-1]] < _APART:
            found[-1] = int(n) if ratio[n] > ratio[found[-1]] else found[-1]
        else:
            found.append(int(n))
    return found


def _by_turns(course: SpeedCourse, at: Array) -> bool:
    """Return whether events come at one angle of the drum: a knock each turn, that stands out while it is slow."""
    turns = course.phase(at) / math.tau
    turns = turns[~np.isnan(turns)]
    if len(turns) < _FEW:
        return False
    apart = np.diff(turns)
    near = np.abs(apart - np.round(apart)) < _NEAR
    return bool(np.mean(near) >= _MOST_NEAR)


def _figure(signal: RecordedSignal, course: SpeedCourse, index: int, ratio: Array) -> SpinFigure:
    """Return one bang: when, how large, and how fast the drum turned then."""
    at = float(signal.time[index])
    speed = float(course.speed_at(np.array([at]))[0])
    when = f"at {60 * speed:.0f} rpm" if not np.isnan(speed) else "at a speed that isn't seen"
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
