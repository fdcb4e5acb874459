"""A fault as a row of a list: its name whole, on several lines where it must be; a bar, percent, how firm."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.domain.probability import percent
from wizard.screens.text.charset import plain
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.faults.fault_rows import FaultRow, bar, standing
from wizard.screens.widgets.entry.answer_list import KEY

BAR = 10
"""Columns of the bar."""

RIGHT = BAR + 15
"""Columns of what stands behind a name: a gap, the bar, percent and a word."""

TICK = 8
"""Columns of a digit and a tick before a name."""

LEAST = 16
"""Columns of a name at least."""


def fault_lines(rows: Sequence[FaultRow], width: int, ticks: bool = False) -> list[Content]:
    """The rows in ``width`` columns at most, the names as wide as the longest of them; with digit and tick."""
    room = width - RIGHT - (TICK if ticks else 0)
    room = max(LEAST, min(room, max((len(row.says) for row in rows), default=0)))
    return [_ticked(row, room) if ticks else _row(Content(""), row, room) for row in rows]


def width_of(rows: Sequence[FaultRow], ticks: bool = False) -> int:
    """Columns that the rows take where each name stands on one line."""
    return max((len(row.says) for row in rows), default=0) + RIGHT + (TICK if ticks else 0)


def _ticked(row: FaultRow, room: int) -> Content:
    key = Content.styled(f" {row.digit} ", KEY) if row.digit else Content("   ")
    return _row(key.append(f" {'[x]' if row.ticked else '[ ]'} "), row, room, "bold" if row.ticked else "")


def _row(lead: Content, row: FaultRow, room: int, style: str = "") -> Content:
    first, *rest = wrapped(row.says, room) or [""]
    word = standing(row.probability, row.decided)
    right = f" {bar(row.probability, BAR, plain())} {percent(row.probability):>5} {word:<7}"
    line = lead.append(Content.styled(first.ljust(room), style)).append(right)
    under = (Content(" " * len(lead.plain)).append(Content.styled(text, style)) for text in rest)
    return Content("\n").join([line, *under])
