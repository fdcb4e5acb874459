"""A recording from a phone or a logger: what is in the file, found by looking, and how well it was sampled."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from wizard.foreign.file_reader import read_file
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import MB, SOURCE_LIMITS, Source, TooLarge
from wizard.measure.damping.decay_model import Array
from wizard.measure.vibration import recording_columns, recording_text
from wizard.measure.vibration.recording_columns import Column
from wizard.measure.vibration.recording_units import CLOCK_TIME, TIMES, factor

LARGEST = SOURCE_LIMITS[Source.RECORDING].size
"""The most bytes that a recording may have: an hour of three columns at 100 a second."""

FEWEST = 16
"""The fewest lines of numbers."""

_GAP = 1.8  # times the usual step
_UNEVEN = 0.05  # of the usual step, rms


@dataclass(frozen=True, slots=True)
class SampleGap:
    """A gap in the times: where it begins, s from the start, and how long it is, s."""

    at: float
    seconds: float


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """A recording as it was found. ``time`` in s from 0, rising; ``stamps`` as they stand in the file, from 0.

    ``time_unit`` of ``TIMES``, or ``CLOCK_TIME``; ``time_sure``: the file names it. ``rate``: readings a
    second; ``jitter``: rms of the steps' difference from the usual one, as a share of it, gaps left out. ``notes``:
    what was left out of the file, one sentence each. ``sha256`` of the file's bytes.
    """

    name: str
    sha256: str
    separator: str
    comma: bool
    stamps: Array
    time_unit: str
    time_sure: bool
    columns: tuple[Column, ...]
    notes: tuple[str, ...]

    @property
    def time(self) -> Array:
        """Time of each reading, s from 0, shape (n,)."""
        return self.stamps * TIMES.get(self.time_unit, 1.0)

    @property
    def seconds(self) -> float:
        """How long it is."""
        return float(self.time[-1])

    @property
    def rate(self) -> float:
        """Readings a second, by the usual step."""
        return 1.0 / float(np.median(np.diff(self.time)))

    @property
    def jitter(self) -> float:
        """How uneven the steps are: rms off the usual one, as a share of it, gaps left out."""
        steps = np.diff(self.stamps) / float(np.median(np.diff(self.stamps)))
        even = steps[steps < _GAP]
        return float(np.sqrt(np.mean((even - 1.0) ** 2)))

    @property
    def gaps(self) -> tuple[SampleGap, ...]:
        """Where readings are missing."""
        time = self.time
        steps = np.diff(time)
        found = np.flatnonzero(steps >= _GAP * float(np.median(steps)))
        return tuple(SampleGap(float(time[i]), float(steps[i])) for i in found)

    def with_units(self, time: str = "", column: int = 0, value: str = "") -> Recording:
        """Return it read in another unit of time, or with a column in another unit. ValueError if there is none."""
        columns = list(self.columns)
        if value:
            columns = list(_in_unit(self.columns, column, value, True))
        if time and (time not in TIMES or self.time_unit == CLOCK_TIME):
            raise ValueError(
                f'time: "{time}" is not one of {", ".join(TIMES)}, or the times are those of a clock'
            )
        unit = time or self.time_unit
        return replace(self, time_unit=unit, time_sure=self.time_sure or bool(time), columns=tuple(columns))


def _in_unit(columns: tuple[Column, ...], column: int, value: str, sure: bool) -> tuple[Column, ...]:
    """Return the columns with one of them, or all the axes of which it is made, in another unit."""
    factor(value)
    named = columns[column].parts or (columns[column],)
    return recording_columns.together(
        tuple(replace(each, unit=value, sure=sure) if each in named else each for each in columns)
    )


def guessed_unit(recording: Recording, column: int, value: str) -> Recording:
    """Return it with a column read in another unit, which stays a guess. ValueError if it is no unit."""
    return replace(recording, columns=_in_unit(recording.columns, column, value, False))


def load(path: Path, going: Callable[[float], None] | None = None) -> Recording:
    """Return the recording in a CSV file: a column of time, and one to three of acceleration or displacement.

    Separator (comma, semicolon, tab, spaces), decimal mark, header and units are found by looking. ValueError that
    begins with the file's name and says where (line, column), what, and how to fix it; OSError if it can't be read.
    ``going`` is called now and then with the share that is read; what it raises ends the reading.
    """
    if not isinstance(path, str | Path):
        raise ValueError(f"path: must be that of a file, is {path!r}")
    name = harmless(Path(path).name)
    try:
        return _loaded(name, read_file(Path(path), Source.RECORDING), going)
    except TooLarge:
        says = f"more than {LARGEST // MB} MB. Cut out the part with the swings, or record less"
        raise ValueError(f"{name}: {says}.") from None
    except ValueError as problem:
        raise ValueError(f"{name}: {problem}.") from None


def _loaded(name: str, data: bytes, going: Callable[[float], None] | None) -> Recording:
    table = recording_text.table(recording_text.decoded(data), going)
    if len(table.values) < FEWEST:
        raise ValueError(
            f"{len(table.values)} lines of numbers, {FEWEST} or more are needed. Record for 3 s or longer"
        )
    when = recording_columns.time_column(table)
    stamps, equal = recording_columns.spread(table.values[:, when] - table.values[0, when])
    unit, sure = recording_columns.time_unit(table, when, stamps)
    columns, left_out = recording_columns.value_columns(table, when)
    notes: tuple[str, ...] = ("The last line was cut short and is left out.",) if table.cut else ()
    if equal:
        lines = "1 line has" if equal == 1 else f"{equal} lines have"
        notes += (f"{lines} the time of the line before: spread evenly to the next time.",)
    return Recording(
        name=name, sha256=hashlib.sha256(data).hexdigest(), separator=table.separator, comma=table.comma,
        stamps=stamps, time_unit=unit, time_sure=sure, columns=columns, notes=(*notes, *left_out),
    )  # fmt: skip


def doubts(recording: Recording, column: Column) -> tuple[str, ...]:
    """Return what can't be told from this column, or must be taken with care, one sentence each."""
    remarks = list(recording.notes)
    if not recording.time_sure:
        remarks.append(f"The file doesn't name the unit of time: {recording.time_unit} is a guess.")
    if not column.sure:
        remarks.append(f"The file doesn't name the unit of {column.name}: {column.unit} is a guess.")
    if recording.jitter > _UNEVEN:
        remarks.append(f"The times are uneven by {recording.jitter:.0%}: they are taken as they stand.")
    if recording.gaps:
        longest = max(recording.gaps, key=lambda gap: gap.seconds)
        count = "1 gap" if len(recording.gaps) == 1 else f"{len(recording.gaps)} gaps, the longest"
        remarks.append(
            f"{count}, {longest.seconds:.2g} s at {longest.at:.2f} s: don't trust a swing across it."
        )
    if column.clipped.any():
        at = float(recording.time[np.flatnonzero(column.clipped)[-1]])
        remarks.append(
            f"{column.name} came to the end of its range, last at {at:.2f} s: only what comes after it is used."
        )
    remarks.append(
        f"Nothing faster than {recording.rate / 2.5:.0f} Hz can be told: bearings at spin speed can't."
    )
    return tuple(remarks)
