"""What the calculators work on: named values with their uncertainties."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Value:
    """A named value with its standard uncertainty, SI.

    ``item`` and ``way`` say which of its step's items and directions it is, from 0, and ``of`` names the item alone.
    ``judged``: the step's limit judges it; otherwise it is only shown. ``says``: a few words on it, for people.
    ``doubted``: a reading behind it lies outside its step's range.
    """

    name: str
    mean: float
    uncertainty: float
    item: int = 0
    way: int = 0
    of: str = ""
    judged: bool = True
    says: str = ""
    doubted: bool = False


Inputs = Mapping[str, Sequence[Value]]
Settings = Mapping[str, float | str]
Calculate = Callable[[Inputs, Settings], list[Value]]


def number(settings: Settings, name: str) -> float:
    """A setting as a number, SI."""
    return float(settings[name])


def ways(values: Sequence[Value]) -> list[tuple[Value, Value]]:
    """The two directions of each item; ValueError naming ``readings`` where one of them is missing."""
    rows: dict[int, dict[int, Value]] = {}
    for value in values:
        rows.setdefault(value.item, {})[value.way] = value
    if any(set(row) != {0, 1} for row in rows.values()):
        raise ValueError("readings: one direction was not read")
    return [(rows[item][0], rows[item][1]) for item in sorted(rows)]


def means(values: Sequence[Value]) -> list[float]:
    """The means of values, in order."""
    return [value.mean for value in values]


def typical(values: Sequence[Value]) -> float:
    """The standard uncertainty of one of them: root mean square."""
    return math.sqrt(math.fsum(value.uncertainty**2 for value in values) / len(values))


def by_item(values: Sequence[Value]) -> list[Value]:
    """The mean of each item over its directions, called by the item alone.

    What one direction leaves behind (drag) is taken out and is no noise; the tool's error is the same both ways, so
    the mean has the uncertainty of one.
    """
    rows: dict[int, list[Value]] = {}
    for value in values:
        rows.setdefault(value.item, []).append(value)
    return [row[0] if len(row) == 1 else _over_ways(row) for row in (rows[item] for item in sorted(rows))]


def _over_ways(row: Sequence[Value]) -> Value:
    """The mean of one item's directions."""
    return replace(
        row[0],
        name=row[0].of or row[0].name,
        mean=math.fsum(v.mean for v in row) / len(row),
        uncertainty=typical(row),
        way=0,
    )
