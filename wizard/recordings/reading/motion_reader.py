"""A phone's motion as it is analysed: which columns, which unit, and what its sampling can't tell."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.domain.recording_vocabulary import SignalKind
from wizard.measure.vibration import recording_file
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

_OTHER_RATE = 1.25
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
    if not columns:
        raise ValueError("it has displacements, and a spin is told from accelerations. Export those, in m/s2")
    lasts(recording.seconds)
    if recording.rate < SLOWEST:
        raise ValueError(
            f"{recording.rate:.2g} readings a second, {SLOWEST:.0f} or more are needed. Set the phone to its fastest"
        )
    change = other_rate(recording.time)
    gaps = () if change else recording.gaps
    missing = sum(gap.seconds for gap in gaps)
    if missing > _WHOLE_GAP * recording.seconds:
        raise ValueError(
            f"{missing:.0f} s of its {recording.seconds:.0f} s are missing. Record again, with the phone's screen on"
        )
    values = np.column_stack([column.si for column in columns])
    level = np.median(values, axis=0)
    jitter = uneven(recording.time)
    return RecordedSignal(
        name=recording.name, sha256=recording.sha256, kind=SignalKind.MOTION, rate=recording.rate,
        file_rate=recording.rate, time=recording.time, values=values - level, jitter=jitter,
        gaps=tuple((gap.at, gap.seconds) for gap in gaps),
        calibrated=all(column.sure for column in columns) or _PULL[0] <= float(np.linalg.norm(level)) <= _PULL[1],
        doubts=tuple(_doubts(recording, columns, jitter)), level=tuple(float(each) for each in level),
    )  # fmt: skip


def uneven(time: Array) -> float:
    """Return the standard deviation of the steps between times as a share of the usual step, gaps left out."""
    steps = np.diff(time) / float(np.median(np.diff(time)))
    return float(np.std(steps[steps < 1.8]))


def _doubts(recording: Recording, columns: list[Column], jitter: float) -> list[str]:
    """Return what can't be told from such sampling."""
    lines = list(recording.notes)
    if not recording.time_sure and recording.time_unit != CLOCK_TIME:
        lines.append(f"The file doesn't name the unit of time: {recording.time_unit} is taken.")
    if not all(column.sure for column in columns):
        lines.append(f"The file doesn't name the unit of its motion: {columns[0].unit} is taken.")
    if jitter > UNEVEN:
        lines.append(f"The times are uneven by {jitter:.0%}: each reading is taken at its own time.")
    change = other_rate(recording.time)
    if recording.gaps and not change:
        longest = max(recording.gaps, key=lambda gap: gap.seconds)
        count = "1 gap" if len(recording.gaps) == 1 else f"{len(recording.gaps)} gaps, the longest"
        lines.append(f"{count} of {longest.seconds:.2g} s at {longest.at:.1f} s: nothing is told across it.")
    if change:
        lines.append(change)
    clipped = max(float(np.mean(column.clipped)) for column in columns)
    if clipped:
        lines.append(
            f"The sensor came to the end of its range ({clipped:.1%} of the readings): peaks are too small."
        )
    lines.append(
        f"Nothing faster than {recording.rate / 2.5:.0f} Hz is told: a phone's motion sensor can't hear a bearing."
    )
    return lines


def other_rate(time: Array) -> str:
    """Return a sentence if the first and the last third were read at two rates, else ''."""
    steps = np.diff(time)
    third = max(1, len(steps) // 3)
    first, last = float(np.median(steps[:third])), float(np.median(steps[-third:]))
    if max(first, last) < _OTHER_RATE * min(first, last):
        return ""
    return f"It has two rates: {1 / first:.0f} readings a second at first, {1 / last:.0f} at the end."
