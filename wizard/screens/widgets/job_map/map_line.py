"""A row of the job map: sign, title, how it stands, minutes, and how many are asked before it, close together."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.screens.text.charset import plain, sign
from wizard.screens.text.verdict_signs import STYLES
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.job_map.map_rows import MapRow

LEAST = 12
"""Columns of a title at least."""


def map_lines(rows: Sequence[MapRow], width: int, reasons: bool = False) -> list[Content]:
    """The rows in ``width`` columns at most, each column as wide as the longest text in it; no title is cut.

    With ``reasons`` why a row comes next stands behind it, where there is room for all of it.
    """
    word = max((len(row.word) for row in rows if not _alone(row)), default=0)
    room = width - word - len(_minutes(rows[0]) + _first(rows[0])) - 6 if rows else width
    room = max(LEAST, min(room, max((len(row.title) for row in rows if not _alone(row)), default=0)))
    lines = [_line(row, room, word, width) for row in rows]
    return [_reasoned(row, line, width) if reasons else line for row, line in zip(rows, lines, strict=True)]


def _reasoned(row: MapRow, line: Content, width: int) -> Content:
    """The row with why it comes next behind it; without where that would be cut."""
    reason = f"  {'<' if plain() else '◄'} {row.short}"
    fits = "\n" not in line.plain and line.cell_length + len(reason) <= width
    return line.append(reason) if row.short and fits else line


def width_of(rows: Sequence[MapRow]) -> int:
    """Columns of the rows where each title stands on one line."""
    return max((line.cell_length for line in map_lines(rows, 999)), default=0)


def _alone(row: MapRow) -> bool:
    """True for a row that has nothing to say behind its title."""
    return not row.word


def _line(row: MapRow, room: int, word: int, width: int) -> Content:
    first, *rest = wrapped(row.title, width - 2 if _alone(row) else room) or [""]
    line = Content(f"{_sign(row.sign)} {first if _alone(row) else first.ljust(room)}")
    if not _alone(row):
        right = f"{row.word:<{word}} {_minutes(row)} {_first(row)}".rstrip()
        line = line.append("  ").append(Content.styled(right, STYLES.get(row.mark, "")))
    line = Content("\n").join([line, *(Content(f"  {text}") for text in rest)])
    return line if row.ready else line.stylize("$faint")


def _sign(shown: str) -> str:
    return sign(shown) if shown in ("✓", "✗") else "." if shown == "…" and plain() else shown


def _minutes(row: MapRow) -> str:
    return f"{row.minutes:>3.0f} min" if row.minutes else "       "


def _first(row: MapRow) -> str:
    return f"+{row.way:>3.0f} min" if row.steps else "        "


def listed_columns(rows: Sequence[MapRow], columns: int) -> int:
    """Columns of the rows where something stands beside them, in a body of so many columns."""
    return min(2 + width_of(rows), columns * 5 // 8)
