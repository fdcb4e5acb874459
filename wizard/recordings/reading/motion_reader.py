"""A phone's motion as it is analysed: which columns, which unit, and what its sampling can't tell."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.domain.recording_vocabulary import PLATE_RPM, SignalKind
from wizard.measure.vibration import recording_file
from wizard.measure.vibration.column_names import AXES, axis_of
from wizard.measure.vibration.recording_columns import Column
from wizard.measure.vibration.recording_file import Recording
from wizard.measure.vibration.recording_units import CLOCK_TIME
from wizard.recordings.reading.recorded_signal import Array, Going, RecordedSignal, lasts

UNEVEN = 0.03
"""Steps that differ by more than this share (sd) are uneven: of a phone's sensor less is asked for (Android
compatibility definition, 7.3.1).
"""

SLOWEST = 20.0
"""Readings a second that are needed at least: a spin of 480 rpm turns 8 times a second."""

MOST_READ = 2000.0
"""m/s2 that no sensor of a phone reads: they end at 16 g, loggers at 200 g (common practice)."""

_OTHER_RATE = 1.25
_PARTS, _FEWEST = 24, 40
_NEVER_FOLDED = 2 * PLATE_RPM[1] / 60  # a second: half of it is as fast as any drum (Nyquist)
_WHOLE_GAP = 0.2
_PULL = (9.4, 10.2)


def read_motion(path: Path, going: Going | None = None) -> RecordedSignal:
    """Return the motion in a CSV or TSV. ValueError that begins with the file's name; OSError."""
    recording = recording_file.load(path, going)
    try:
        return _signal(recording)
    except ValueError as problem:
        raise ValueError(f"{recording.name}: {problem}.") from None


def _signal(recording: Recording) -> RecordedSignal:
    columns = [c for c in recording.columns if c.quantity is MotionQuantity.ACCELERATION and not c.parts]
    columns = _by_axis(columns)
    if not columns:
        raise ValueError("it has displacements, and a spin is told from accelerations. Export those, in m/s2")
    lasts(recording.seconds)
    change = other_rate(recording.time)
    rate = min(rates(recording.time)) if change else recording.rate
    if rate < SLOWEST:
        where = " in a part of it" if change else ""
        raise ValueError(
            f"{rate:.2g} readings a second{where}, {SLOWEST:.0f} or more are needed. Set the phone to its fastest"
        )
    _believable(recording, columns)
    gaps = () if change else recording.gaps
    missing = sum(gap.seconds for gap in gaps)
    if missing > _WHOLE_GAP * recording.seconds:
        raise ValueError(
            f"{missing:.0f} s of its {recording.seconds:.0f} s are missing. Record again, with the phone's screen on"
        )
    values = np.column_stack([column.si for column in columns])
    level = np.median(values, axis=0)
    jitter = uneven(recording.time)
    fastest = max(rates(recording.time)) if change else recording.rate
    return RecordedSignal(
        name=recording.name, sha256=recording.sha256, kind=SignalKind.MOTION, rate=rate,
        file_rate=fastest, time=recording.time, values=values - level, jitter=jitter,
        gaps=tuple((gap.at, gap.seconds) for gap in gaps),
        calibrated=all(column.sure for column in columns) or _PULL[0] <= float(np.linalg.norm(level)) <= _PULL[1],
        doubts=tuple(_doubts(recording, columns, jitter)), level=tuple(float(each) for each in level),
    )  # fmt: skip


def _believable(recording: Recording, columns: list[Column]) -> None:
    """Raise a ValueError for an axis that never moves, or reads more than any sensor of a phone: then nothing that is
    told of it is so.
    """
    for column in columns:
        size = np.abs(column.si)
        most = int(np.argmax(size))
        if size[most] > MOST_READ:
            raise ValueError(
                f"{column.name} has {size[most]:.3g} m/s2 at {recording.time[most]:.1f} s: no phone reads over "
                f"{MOST_READ:.0f}. Take that line out, or name the column's unit in the header"
            )
        if float(np.ptp(column.values)) == 0.0:
            raise ValueError(
                f"{column.name} stands at {column.values[0]:g} from end to end: that sensor was dead. Record again, "
                "with another phone"
            )


def _by_axis(columns: list[Column]) -> list[Column]:
    """Return the columns as x, y and z where their names say so, else as they stand: gravity's direction goes by z."""
    axes = [axis_of(column.name) for column in columns]
    return [columns[axes.index(axis)] for axis in AXES] if sorted(axes) == list(AXES) else columns


def uneven(time: Array) -> float:
    """Return the standard deviation of the steps between times as a share of the usual step, gaps left out."""
    steps = np.diff(time) / float(np.median(np.diff(time)))
    return float(np.std(steps[steps < 1.8]))


def _doubts(recording: Recording, columns: list[Column], jitter: float) -> list[str]:
    """Return what can't be told from such sampling."""
    lines = list(recording.notes)
    change = other_rate(recording.time)
    rate = min(rates(recording.time)) if change else recording.rate
    if not recording.time_sure and recording.time_unit != CLOCK_TIME:
        lines.append(f"The file doesn't name the unit of time: {recording.time_unit} is taken.")
    if not all(column.sure for column in columns):
        lines.append(f"The file doesn't name the unit of its motion: {columns[0].unit} is taken.")
    if jitter > UNEVEN:
        lines.append(f"The times are uneven by {jitter:.0%}: each reading is taken at its own time.")
    if recording.gaps and not change:
        longest = max(recording.gaps, key=lambda gap: gap.seconds)
        count = "1 gap" if len(recording.gaps) == 1 else f"{len(recording.gaps)} gaps, the longest"
        lines.append(f"{count} of {longest.seconds:.2g} s at {longest.at:.1f} s: nothing is told across it.")
    if change:
        lines.append(change)
    if rate < _NEVER_FOLDED:
        lines.append(
            f"A drum that turns faster than {30 * rate:.0f} rpm reads as a slower one at {rate:.0f} a second."
        )
    clipped = max(float(np.mean(column.clipped)) for column in columns)
    if clipped:
        lines.append(
            f"The sensor came to the end of its range ({clipped:.1%} of the readings): peaks are too small."
        )
    if len(columns) == len(AXES) and not any(axis_of(column.name) for column in columns):
        lines.append("The file doesn't call its columns x, y and z: they are taken in that order.")
    lines.append(
        f"Nothing faster than {rate / 2.5:.0f} Hz is told: a phone's motion sensor can't hear a bearing."
    )
    return lines


def rates(time: Array) -> list[float]:
    """Return the readings a second of each part of the times: of 40 readings or more, some 24 parts."""
    steps = np.diff(time)
    parts = np.array_split(steps, max(1, min(_PARTS, len(steps) // _FEWEST)))
    return [1 / float(np.median(part)) for part in parts]


def other_rate(time: Array) -> str:
    """Return a sentence if parts of it were read at two rates, else ''."""
    each = rates(time)
    if max(each) < _OTHER_RATE * min(each):
        return ""
    bound = "the slower one bounds what is told."
    if max(each[0], each[-1]) < _OTHER_RATE * min(each[0], each[-1]):
        return (
            f"It has two rates: {max(each):.0f} readings a second, {min(each):.0f} in a part of it; {bound}"
        )
    return f"It has two rates: {each[0]:.0f} readings a second at first, {each[-1]:.0f} at the end; {bound}"
