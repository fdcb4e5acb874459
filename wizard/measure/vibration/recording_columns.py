"""Which column of a recording is the time, which are values, in which units; and where a sensor was at its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.measure.damping.decay_model import Array
from wizard.measure.vibration import recording_units
from wizard.measure.vibration.column_names import other_sensor, three_axes
from wizard.measure.vibration.range_end import clipped
from wizard.measure.vibration.recording_text import RecordingTable, place
from wizard.measure.vibration.recording_units import CLOCK_TIME, TIMES, factor, name_in, quantity, unit_in

_LEAST = 1e-7
"""The least that the times rise by, in any of their units: ten million readings a second."""

MOST = 3
"""The most columns of values that are offered."""


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """A column of values as they stand in the file, with their ``unit`` (of ``recording_units.VALUES``).

    ``sure``: the file names the unit; else it is a guess. ``clipped``: true where the sensor had come to the end of
    its range, shape (n,). ``parts``: the axes of a phone that it is made of, none of one that stands in the file.
    """

    name: str
    unit: str
    sure: bool
    values: Array
    clipped: NDArray[np.bool_]
    parts: tuple[Column, ...] = ()

    @property
    def quantity(self) -> MotionQuantity:
        """What it measures."""
        return quantity(self.unit)

    @property
    def si(self) -> Array:
        """The values in m/s2 or m, shape (n,)."""
        return self.values * factor(self.unit)

    @property
    def swing(self) -> float:
        """Half of what lies between the largest value and the smallest, m/s2 or m."""
        return float(np.ptp(self.values)) / 2 * factor(self.unit)


def time_column(table: RecordingTable) -> int:
    """Return which column is the time: the one called so, else the first that rises and doesn't merely count.

    Two lines may have one time; ValueError naming the first line whose time goes back, or if it never rises.
    """
    if table.clock:
        _rising(table, 0)
        return 0
    named = [i for i, name in enumerate(table.header) if _called_time(name)]
    named += [
        i for i, name in enumerate(table.header) if name_in(name).casefold() in ("t", "seconds", "timestamp")
    ]
    steps = np.diff(table.values, axis=0)
    rising = [i for i in range(table.values.shape[1]) if bool(np.all(steps[:, i] > 0))]
    rising += [i for i in range(table.values.shape[1]) if i not in rising and never_falls(table.values[:, i])]
    for i in named:
        if i in rising:
            return i
    timed = [i for i in rising if not _counts(table.values[:, i])] or rising
    if timed and not named:
        return timed[0]
    _rising(table, named[0] if named else 0)
    return named[0] if named else 0


def _called_time(header: str) -> bool:
    return name_in(header).casefold().startswith(("time", "zeit"))


def never_falls(values: Array) -> bool:
    """Return whether a column rises, and never falls: as a time or a count does, and no swing."""
    return bool(np.all(np.diff(values) >= 0)) and bool(values[-1] > values[0])


def spread(stamps: Array) -> tuple[Array, int]:
    """Return the times with each run of equal ones spread evenly up to the next, and how many were equal to the one
    before. ``stamps`` never fall, shape (n,); the last run takes the length of the run before it.
    """
    first = np.flatnonzero(np.diff(stamps, prepend=-np.inf) > 0)
    equal = len(stamps) - len(first)
    if not equal:
        return stamps, 0
    counts = np.diff(np.append(first, len(stamps)))
    marks = stamps[first]
    steps = np.diff(marks)
    last = float(np.median(steps)) if len(steps) else 0.0
    lengths = np.append(steps, last)
    within = np.arange(len(stamps)) - np.repeat(first, counts)
    spaced: Array = np.repeat(marks, counts) + within * np.repeat(lengths / counts, counts)
    return spaced, equal


def _counts(values: Array) -> bool:
    """Return whether a column only numbers the lines."""
    return bool(np.all(np.diff(values) == 1))


def _rising(table: RecordingTable, column: int) -> None:
    """Raise a ValueError naming the first line whose time goes back, or if the times stand still."""
    values = table.values[:, column]
    bad = np.flatnonzero(np.diff(values) < 0)
    if len(bad):
        before, after = int(bad[0]), int(bad[0]) + 1
        raise ValueError(
            f"{place(table.lines[after], column, table.header)}: the time goes back, from {values[before]:g} to "
            f"{values[after]:g}. Put the lines in their order, or cut the file there"
        )
    if values[-1] <= values[0]:
        raise ValueError(
            f"{place(table.lines[0], column, table.header)}: the time stands still from there to the end. Export it "
            "with a column of times that rise"
        )


def time_unit(table: RecordingTable, column: int, stamps: Array) -> tuple[str, bool]:
    """Return the unit of time and whether the file names it."""
    if table.clock:
        return CLOCK_TIME, True
    named = unit_in(table.header[column])
    if named in TIMES:
        return named, True
    step = float(np.median(np.diff(stamps)))
    if step < _LEAST:
        raise ValueError(
            f"the times hardly rise: by {step:.2g} from line to line. Export it with the time in s or ms"
        )
    # By the usual step, as of recordings of 2 to 2000 readings a second.
    return next(
        unit for unit, most in (("s", 0.9), ("ms", 500.0), ("us", 5e5), ("ns", np.inf)) if step < most
    ), False


def value_columns(table: RecordingTable, when: int) -> tuple[tuple[Column, ...], tuple[str, ...]]:
    """Return the columns that serve, and a sentence for each that is left out. Where three are called x, y and z of one
    sensor, they are those; else the first three.
    """
    names, notes = _serving(table, when)
    taken = three_axes(names) or list(names)[:MOST]
    why = "x, y and z are read" if len(names) > MOST and three_axes(names) else f"{MOST} columns are read"
    notes += [f"{name} is left out: {why}." for index, name in names.items() if index not in taken]
    guess = _guess(table, taken)
    found = [
        Column(
            names[i],
            unit_in(table.header[i]) or guess,
            bool(unit_in(table.header[i])),
            values,
            clipped(values),
        )
        for i, values in ((i, table.values[:, i]) for i in taken)
    ]
    if not found:
        raise ValueError(
            f"no column of acceleration or displacement beside the time. {' '.join(notes)} "
            "Export one, with its unit in the header".replace("  ", " ")
        )
    return together(tuple(found)), tuple(notes)


def _serving(table: RecordingTable, when: int) -> tuple[dict[int, str], list[str]]:
    """Return the columns that may serve, each with its name, and a sentence for each that may not."""
    names: dict[int, str] = {}
    notes: list[str] = []
    for index in range(table.values.shape[1]):
        header = table.header[index]
        name, unit, values = name_in(header) or f"column {index + 1}", unit_in(header), table.values[:, index]
        if index == when or _counts(values):
            continue
        if unit and unit not in recording_units.VALUES:
            notes.append(f"{name} ({unit}) is neither acceleration nor displacement: left out.")
        elif not unit and other_sensor(name):
            notes.append(f"{name} is neither acceleration nor displacement by its name: left out.")
        elif any(word in name.casefold() for word in ("abs", "magnitude", "total", "norm")):
            notes.append(f"{name} has lost its sign: left out.")
        elif never_falls(values):
            notes.append(f"{name} only ever rises, as a time or a count does: left out.")
        else:
            names[index] = name
    return names, notes


def together(columns: tuple[Column, ...]) -> tuple[Column, ...]:
    """Return the columns of a file with one more where two or three are accelerations in one unit: what is along the
    axis on which all of them swing most, so that it doesn't matter how the phone lay.
    """
    parts = tuple(column for column in columns if not column.parts)
    if len(parts) < 2 or len({part.unit for part in parts}) > 1:
        return parts
    if parts[0].quantity is not MotionQuantity.ACCELERATION:
        return parts
    return *parts, along(parts, slice(0, len(parts[0].values)))


def along(parts: tuple[Column, ...], chosen: slice) -> Column:
    """Return the values of all ``parts`` along the principal axis of their ``chosen`` readings: the direction in which
    these vary most, its sign that of the part which has the largest share.

    White noise alike on all axes leaves that direction where it is (Jolliffe, Principal Component Analysis, ch. 3, from
    memory).
    """
    values = np.stack([part.values for part in parts])
    stretch = values[:, chosen]
    scale = max(float(np.abs(stretch).max()), 1e-300)
    moving = (stretch - stretch.mean(axis=1, keepdims=True)) / scale
    axis = np.linalg.svd(moving @ moving.T)[0][:, 0]
    axis = axis * np.sign(axis[np.argmax(np.abs(axis))])
    middle = np.median(values, axis=1, keepdims=True)
    level = float(axis @ middle[:, 0])
    clipped = np.any([part.clipped for part in parts], axis=0)
    name = f"{'+'.join(part.name for part in parts)} along the swing"
    return Column(
        name,
        parts[0].unit,
        all(part.sure for part in parts),
        axis @ (values - middle) + level,
        clipped,
        parts,
    )


def _guess(table: RecordingTable, taken: Sequence[int]) -> str:
    """Return the unit of columns that name none: by the size of gravity in them, else m/s2."""
    bare = [i for i in taken if not unit_in(table.header[i])]
    pull = float(np.linalg.norm([np.median(table.values[:, i]) for i in bare])) if bare else 0.0
    return next((unit for unit, g in (("g", 1.0), ("mg", 1000.0)) if 0.8 * g <= pull <= 1.2 * g), "m/s2")
