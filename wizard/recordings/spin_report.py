"""All that a recording says: read, followed, and told phase by phase."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from wizard.domain.recording_vocabulary import PLATE_RPM
from wizard.measure.mechanics.bearing_geometry import bearing_of
from wizard.recordings.course.gain_fall import FELL, gain_fell
from wizard.recordings.course.hand_tremor import hand_tremor
from wizard.recordings.course.line_strength import line_strength
from wizard.recordings.course.speed_course import SpeedCourse, speed_course
from wizard.recordings.course.spin_phases import PhaseStretch, levels, phases
from wizard.recordings.course.stretch_choice import fastest_spin, last_coast, ways_up
from wizard.recordings.figures.bangs import bangs
from wizard.recordings.figures.bearing_tones import any_bearing, bearing_tones
from wizard.recordings.figures.fixed_modes import fixed_modes
from wizard.recordings.figures.level_figures import level_figures
from wizard.recordings.figures.order_figures import order_figures, top_speed
from wizard.recordings.figures.phone_place import phone_place
from wizard.recordings.figures.plate_check import over_words, ridges, unbounded
from wizard.recordings.figures.ramp_sway import ramp_sway
from wizard.recordings.figures.run_figures import run_figures
from wizard.recordings.figures.sound_figures import roar, squeal
from wizard.recordings.figures.spin_beside_ramp import spin_beside_ramp
from wizard.recordings.figures.spin_figure import SpinFigure
from wizard.recordings.figures.spin_severity import PhaseLevel, phase_level, severity
from wizard.recordings.figures.turn_knock import turn_knock
from wizard.recordings.reading.recorded_signal import Array, Going, RecordedSignal
from wizard.recordings.reading.signal_reader import read_signal


@dataclass(frozen=True, slots=True, eq=False)
class SpinReport:
    """What a recording says: its ``signal``, the ``course`` of the speed, the ``stretches`` of its phases with how loud
    each is, ``level`` at each time of the course (rms, half a second), and the ``figures``. ``bang_count``: of all
    bangs. ``place``: what speaks against the phone having lain flat and fast on the machine.
    """

    signal: RecordedSignal
    course: SpeedCourse
    stretches: tuple[PhaseStretch, ...]
    levels: tuple[PhaseLevel, ...]
    level: Array
    figures: tuple[SpinFigure, ...]
    bang_count: int
    doubts: tuple[str, ...]
    place: tuple[str, ...] = ()


def spin_report(
    path: Path,
    plate_rpm: float | None = None,
    bearing: str | None = None,
    going: Going | None = None,
    bearings: tuple[str, ...] = (),
) -> SpinReport:
    """Return what the recording in a file says; without a ``bearing``, whether it beats as one of ``bearings`` would.

    ValueError, one line: of the file, beginning with its name; of ``plate_rpm`` or ``designation``, naming the
    argument. OSError. What ``going`` raises ends the work.
    """
    if plate_rpm is not None and not PLATE_RPM[0] <= plate_rpm <= PLATE_RPM[1]:
        raise ValueError(
            f"plate_rpm: must be from {PLATE_RPM[0]:.0f} to {PLATE_RPM[1]:.0f}, is {plate_rpm:g}"
        )
    if bearing is not None:
        bearing_of(bearing)
    return analysed(
        read_signal(path, _share(going, 0.0, 0.5)), plate_rpm, bearing, _share(going, 0.5, 1.0), bearings
    )


def _share(going: Going | None, start: float, end: float) -> Going | None:
    """Return what tells a part of the whole."""
    return (lambda share: going(start + share * (end - start))) if going else None


def analysed(
    signal: RecordedSignal,
    plate_rpm: float | None = None,
    bearing: str | None = None,
    going: Going | None = None,
    bearings: tuple[str, ...] = (),
) -> SpinReport:
    """Return what a recording that was read says; the rest as ``spin_report``."""
    plate = plate_rpm / 60 if plate_rpm else None
    with np.errstate(all="ignore"):
        lines = line_strength(signal, going)
        ridge, free = ridges(lines, plate)
        course = speed_course(signal, lines.at, ridge)
        held = hand_tremor(signal, course)
        stretches = phases(signal, course, held is not None)
        spin = fastest_spin(stretches, course)
        signal = _levelled(signal, stretches, spin)
        figures: list[SpinFigure] = []
        other = unbounded(lines, free, spin)
        if spin:
            figures.append(top_speed(course, spin, plate, other))
        *earlier, up = ways_up(stretches, spin) or (None,)
        figures += run_figures(signal, course, up, *filter(None, earlier)) if up else []
        coast = last_coast(stretches, spin)
        figures += run_figures(signal, course, coast) if coast else []
        hits, count = bangs(signal, course, stretches)
        figures += hits
        if spin:
            figures += order_figures(signal, course, spin)
            figures.append(turn_knock(signal, course, spin))
            figures += bearing_tones(signal, course, spin, bearing) if bearing else []
            figures += [any_bearing(signal, course, spin, bearings)] if bearings and not bearing else []
            figures.append(severity(signal, lines, course, spin))
        figures += [roar(signal, course, stretches, spin), squeal(signal, course, stretches)]
        figures += fixed_modes(signal, lines, course)
        figures += level_figures(signal, course, stretches, spin)
        figures.append(spin_beside_ramp(signal, course, stretches, spin))
        figures.append(ramp_sway(signal, course, up))
        loud = tuple(phase_level(signal, course, stretch) for stretch in stretches)
        level = levels(signal, course.at)
    return SpinReport(
        signal,
        course,
        stretches,
        loud,
        level,
        tuple(figures),
        count,
        (*signal.doubts, *_doubts(course, spin, plate, other)),
        phone_place(signal, stretches, held),
    )


def _levelled(
    signal: RecordedSignal, stretches: tuple[PhaseStretch, ...], spin: PhaseStretch | None
) -> RecordedSignal:
    """Return a signal, marked as levelled where its own phone's gain fell in the spin."""
    if signal.frames is None or signal.levelled or spin is None:
        return signal
    if not gain_fell(signal.frames, stretches, spin, signal.file_rate):
        return signal
    return replace(signal, levelled=True, doubts=(*signal.doubts, FELL))


def _doubts(
    course: SpeedCourse, spin: PhaseStretch | None, plate: float | None, other: float | None
) -> list[str]:
    """Return what the course leaves open; ``other``: what would be taken for the drum without a plate's speed."""
    notes = []
    if np.isnan(course.speed).all():
        notes.append("No drum is seen to turn faster than 90 rpm in it.")
    elif spin is None:
        notes.append("No steady spin of 4 s or longer is in it.")
    if spin is None and plate and other and (over := over_words(60 * other, 60 * plate, None)):
        notes.append(over)
    if not np.isnan(course.speed).all() and not course.sure:
        notes.append(
            "The speed might be half or double: the orders of a turn don't tell it."
            + (" Look at the plate again." if plate else " Give the plate's top speed.")
        )
    return notes
