"""How a sound's roar rises from rest to the spin, and whether it squeals."""

from __future__ import annotations

import math

import numpy as np

from wizard.domain.recording_vocabulary import FigureKind, SpinPhase
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch, longest
from wizard.recordings.figures.spin_figure import SpinFigure, refused
from wizard.recordings.reading import gain_change
from wizard.recordings.reading.recorded_signal import Array, RecordedSignal, SoundFrames

BAND = (500.0, 8000.0)
"""The band of a roar, Hz; to 0.45 of the rate where that is less."""

_SQUEALS_FROM = 800.0
_BESIDE = 300.0  # Hz to each side
_STANDS_OUT = 12.0  # dB over the median beside
_RISES = 6.0  # dB
_FRAMES = 6  # at least, in a phase
_SHARE = 0.15
_MOVES = 1.2  # the speed's range, to tell what follows it
_SCATTER = 1.0  # dB: how far two seconds of one noise differ through a phone (common practice)


def roar(
    signal: RecordedSignal,
    course: SpeedCourse,
    stretches: tuple[PhaseStretch, ...],
    spin: PhaseStretch | None,
) -> SpinFigure:
    """Return by how many dB the noise is louder in the spin than at rest, or than in the tumble where no rest is."""
    kind, frames = FigureKind.ROAR, signal.frames
    if frames is None:
        return refused(kind, "dB", "A phone's motion sensor can't hear a roar. Record the sound.")
    low = longest(stretches, SpinPhase.REST) or longest(stretches, SpinPhase.TUMBLE)
    if spin is None or low is None:
        return refused(kind, "dB", "The recording has no rest or no spin to set against each other.")
    if signal.levelled:
        return refused(kind, "dB", "The phone's gain changed by itself, so levels can't be compared.")
    high = min(BAND[1], 0.45 * signal.file_rate)
    level, at = gain_change.levels(frames, BAND[0], high), _times(frames)
    each = [level[(at >= s.start + 0.5) & (at < s.end - 0.5)] for s in (spin, low)]
    if min(map(len, each)) < 3:
        return refused(kind, "dB", "Rest or spin is too short to be set against the other.")
    rise = float(np.median(each[0]) - np.median(each[1]))
    known = math.hypot(*(float(np.std(e)) / math.sqrt(len(e)) for e in each), _SCATTER)
    power = _power_of_speed(course, at, level)
    grows = f", and grows as the {power:.1f}th power of the speed" if power is not None else ""
    says = f"From {low.phase} to the spin the noise of {BAND[0]:.0f} to {high:.0f} Hz rises by {rise:.0f} dB{grows}. "
    says += "A phone's gain that changes by itself may hide some of it."
    return SpinFigure(
        kind, rise, known, "dB", says, "power by time and frequency, medians of frames", present=rise > 6
    )


def _times(frames: SoundFrames) -> Array:
    """Return the middle of each frame, s."""
    return np.asarray((np.arange(len(frames.power)) + 0.5) * frames.seconds, dtype=np.float64)


def _power_of_speed(course: SpeedCourse, at: Array, level: Array) -> float | None:
    """Return the power of the speed with which the noise's pressure grows; None where the speed hardly changes."""
    speed = course.speed_at(at)
    known = speed > 3.0
    if known.sum() < 20 or float(np.max(speed[known])) < _MOVES * float(np.min(speed[known])):
        return None
    return float(np.polyfit(20 * np.log10(speed[known]), level[known], 1)[0])


def squeal(signal: RecordedSignal, course: SpeedCourse, stretches: tuple[PhaseStretch, ...]) -> SpinFigure:
    """Return the strongest tone above 800 Hz that lasts in a phase, if there is one."""
    kind, frames = FigureKind.SQUEAL, signal.frames
    if frames is None:
        return refused(kind, "Hz", "A phone's motion sensor can't hear a squeal. Record the sound.")
    outstanding = _outstanding(frames)
    at, best = _times(frames), None
    for stretch in stretches:
        inside = (at >= stretch.start) & (at < stretch.end)
        if inside.sum() < _FRAMES:
            continue
        there = outstanding[inside] > _STANDS_OUT
        count = there.sum(axis=0) + np.roll(there, 1, axis=1).sum(axis=0)
        bin_ = int(np.argmax(count))
        lasting = int(count[bin_])
        if lasting >= max(_FRAMES, _SHARE * inside.sum()) and (best is None or lasting > best[0]):
            near = outstanding[inside][:, max(0, bin_ - 1) : bin_ + 1].max(axis=1)
            best = (lasting, bin_, stretch, float(np.median(near[near > _STANDS_OUT])))
    if best is None:
        says = "No squeal stands out of the noise."
        return SpinFigure(kind, None, 0.0, "Hz", says, "power by time and frequency", present=False)
    _count, bin_, stretch, high = best
    step = float(frames.frequencies[1])
    tone = float(frames.frequencies[_first(frames) + bin_]) - step / 2 * (bin_ > 0)
    says = f"In the {stretch.phase} it squeals at {tone:.0f} Hz, {high:.0f} dB over the noise beside."
    by = "a tone that stands out of its neighbours by 12 dB, frame after frame"
    return SpinFigure(kind, tone, step / 2, "Hz", says, by, at=stretch.start, present=True)


def _first(frames: SoundFrames) -> int:
    return int(np.searchsorted(frames.frequencies, _SQUEALS_FROM))


def _outstanding(frames: SoundFrames) -> Array:
    """Return by how many dB each frequency from 800 Hz on stands out of those beside it, shape (frames,
    frequencies).
    """
    from scipy.ndimage import median_filter  # late: scipy takes long to load

    power = 10 * np.log10(frames.power[:, _first(frames) :].astype(np.float64) + 1e-20)
    thin = 3
    wide = max(3, round(2 * _BESIDE / float(frames.frequencies[1]) / thin) | 1)
    beside = median_filter(power[:, ::thin], size=(1, wide), mode="nearest")
    return np.asarray(power - np.repeat(beside, thin, axis=1)[:, : power.shape[1]])
