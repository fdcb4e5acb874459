"""An interval as a line of signs: '  |--o-----  ', in ASCII; a screen has better ones for them."""

from __future__ import annotations

import math
from collections.abc import Iterable

from wizard.archive.trend_cell import TrendKind
from wizard.archive.trends.trend_table import TrendRow, TrendTable

LINE, POINT, BEYOND, TARGET = "-", "o", "!", "|"
"""The interval; its middle; a middle that lies beyond what chance gives; the target, or the flow's own time."""

MOST_RATIO = 4.0
"""Times by the flow's own are drawn up to this many times of it at the most."""


def scale_top(table: TrendTable) -> float:
    """Where the scale of a plot ends, from 0: at what holds the rows' intervals and the target, round."""
    if table.asked.kind is TrendKind.MINUTES:
        highs = [min(MOST_RATIO, row.high if math.isfinite(row.high) else row.value) for row in table.rows]
        return max([1.5, *highs])
    wanted = max([table.asked.held * 1.2, *(row.value * 1.5 for row in table.rows), *_middles(table.rows)])
    return min(1.0, math.ceil(wanted * 20) / 20)


def _middles(rows: Iterable[TrendRow]) -> list[float]:
    """The upper ends that a scale should hold: that of the middle row, for one session alone would stretch it."""
    highs = sorted(row.high for row in rows)
    return [highs[len(highs) // 2]] if highs else []


def interval_plot(table: TrendTable, row: TrendRow, top: float, width: int) -> str:
    """A row's interval, as wide as this; what runs over the scale's end is cut there."""
    marks = [" "] * width
    low, high = (_place(end, top, width) for end in (row.low, row.high))
    for at in range(low, high + 1):
        marks[at] = LINE
    held = 1.0 if table.asked.kind is TrendKind.MINUTES else table.asked.held
    marks[_place(held, top, width)] = TARGET
    marks[_place(row.value, top, width)] = BEYOND if row.outside else POINT
    return "".join(marks)


def _place(value: float, top: float, width: int) -> int:
    return min(width - 1, max(0, round(min(value, top) / top * (width - 1))))
