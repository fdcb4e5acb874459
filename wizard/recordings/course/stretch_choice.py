"""Which of a recording's stretches a figure is of: the fastest spin, the ways up to it, and the coast behind it."""

from __future__ import annotations

import numpy as np

from wizard.domain.recording_vocabulary import SpinPhase
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch, longest

_AS_FAST = 0.97  # of the fastest: a spin that is resumed after a pause (an estimate)


def fastest_spin(stretches: tuple[PhaseStretch, ...], course: SpeedCourse) -> PhaseStretch | None:
    """Return the spin: of the steady stretches as fast as the fastest the longest; None if there is none."""
    spins = [stretch for stretch in stretches if stretch.phase is SpinPhase.SPIN]
    speeds = [speed_in(stretch, course) for stretch in spins]
    top = max(speeds, default=0.0)
    as_fast = tuple(s for s, speed in zip(spins, speeds, strict=True) if speed >= _AS_FAST * top)
    return longest(as_fast, SpinPhase.SPIN)


def speed_in(stretch: PhaseStretch, course: SpeedCourse) -> float:
    """Return the median speed in a stretch, turns a second; 0 where none is seen."""
    speed = course.speed[(course.at >= stretch.start) & (course.at < stretch.end)]
    return float(np.median(speed[~np.isnan(speed)])) if np.any(~np.isnan(speed)) else 0.0


def ways_up(stretches: tuple[PhaseStretch, ...], spin: PhaseStretch | None) -> tuple[PhaseStretch, ...]:
    """Return each way up, the last one to the spin, as one ramp with the pauses that lie in it; () without a ramp.

    Steady speeds between two ramps are pauses; whatever else lies between ends a way. All ways, if none leads to the
    spin.
    """
    ways: list[list[PhaseStretch]] = [[]]
    for stretch in stretches:
        if stretch.phase is SpinPhase.RAMP or (
            stretch.phase is SpinPhase.SPIN and stretch != spin and ways[-1]
        ):
            ways[-1].append(stretch)
        elif ways[-1]:
            ways.append([])
    whole = tuple(_as_one(way) for way in ways if way)
    return tuple(way for way in whole if spin and way.end <= spin.start + 1e-6) or whole


def _as_one(way: list[PhaseStretch]) -> PhaseStretch:
    """Return a way up as one ramp, to the end of its last one."""
    last = max(n for n, stretch in enumerate(way) if stretch.phase is SpinPhase.RAMP)
    return PhaseStretch(SpinPhase.RAMP, way[0].start, way[last].end)


def last_coast(stretches: tuple[PhaseStretch, ...], spin: PhaseStretch | None) -> PhaseStretch | None:
    """Return the longest coast behind the spin; of all where none is behind it."""
    behind = tuple(s for s in stretches if spin is not None and s.start >= spin.end - 1e-6)
    return longest(behind, SpinPhase.COAST) or longest(stretches, SpinPhase.COAST)
