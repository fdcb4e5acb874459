"""The lines of the screen of trends: a row with its interval drawn, and all that is known of the marked one."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.archive.trend_cell import TrendKind
from wizard.archive.trends import interval_plot as plot
from wizard.archive.trends.trend_table import TrendRow, TrendTable
from wizard.archive.trends.trend_words import (
    HITS,
    filter_words,
    head_of,
    interval,
    key_of,
    notes,
    row_sentences,
    share,
    title_of,
    value,
)
from wizard.domain.probability import percent
from wizard.foreign.harmless import harmless
from wizard.screens.archive.trends_view import TrendsView
from wizard.screens.text.charset import sign
from wizard.screens.text.clipping import cut
from wizard.screens.text.step_text import wrap

NAME, COUNT, FIGURE, RANGE, OVER = 24, 12, 6, 14, 8
"""Columns of a row's name at most, of its counts, its figure, its interval, and how likely it is over the target."""

WIDE = 110
"""Columns from which on the chance of being over the target stands in the line."""

LEAST_PLOT = 8
_SIGNS = {plot.LINE: "─", plot.POINT: "●", plot.BEYOND: "▲", plot.TARGET: "│"}


def head_line(view: TrendsView, width: int) -> Content:
    """Which trend it is."""
    words = "computing ..." if view.table is None else title_of(view.table)
    return Content.styled("Trends", "bold $primary").append(Content(f"  {cut(words, width - 8)}"))


def asked_line(view: TrendsView, width: int) -> Content:
    """Of which sessions."""
    words = f"Only sessions with {filter_words(view.among)}" if view.among.asked else "All sessions"
    return Content.styled(cut(harmless(words), width), "$faint")


def heads_line(view: TrendsView, width: int) -> Content:
    """The heads of the columns, the plot's with its scale."""
    table = view.table
    if table is None or not table.rows:
        return Content("")
    top, minutes = plot.scale_top(table), table.asked.kind is TrendKind.MINUTES
    count = "sessions" if minutes else f"{HITS[table.asked.kind]}"
    cells = [f"{head_of(table):<{NAME}}", f"{count:>{COUNT}}", f"{'took' if minutes else 'share':>{FIGURE}}"]
    cells += [f"{'95 %':<{RANGE}}", *_over_head(table, width)]
    room = _plot_room(table, width)
    scale = f"0{(f'{top:.1f} x' if minutes else share(top)):>{room - 1}}" if room >= LEAST_PLOT else ""
    return Content.styled(cut_right(f"  {'  '.join([*cells, scale])}", width), "$faint")


def row_lines(view: TrendsView, width: int) -> list[Content]:
    """A line a row."""
    table = view.table
    if table is None:
        return []
    top, room = plot.scale_top(table), _plot_room(table, width)
    return [_row(table, row, top, room, width) for row in table.rows]


def _row(table: TrendTable, row: TrendRow, top: float, room: int, width: int) -> Content:
    minutes = table.asked.kind is TrendKind.MINUTES
    counts = f"{row.of}" if minutes else f"{row.hits} of {row.of}"
    over = [f"{percent(row.over):>{OVER}}"] if _over_head(table, width) else []
    cells = [
        f"{cut(harmless(key_of(row)), NAME):<{NAME}}", f"{counts:>{COUNT}}", f"{value(table, row):>{FIGURE}}",
        f"{interval(table, row):<{RANGE}}", *over,
    ]  # fmt: skip
    line = Content("  ".join(cells))
    if room < LEAST_PLOT:
        return line
    marks = "".join(_sign(mark) for mark in plot.interval_plot(table, row, top, room))
    return line.append("  ").append(Content.styled(marks, "$warning" if row.outside else "$primary"))


def _sign(mark: str) -> str:
    return sign(_SIGNS[mark]) if mark in _SIGNS else mark


def _over_head(table: TrendTable, width: int) -> list[str]:
    wide = width >= WIDE and table.asked.kind is not TrendKind.MINUTES
    return [f"{f'>{share(table.asked.held)}':>{OVER}}"] if wide else []


def _plot_room(table: TrendTable, width: int) -> int:
    used = 2 + NAME + COUNT + FIGURE + RANGE + 2 * 4
    return width - used - (OVER + 2 if _over_head(table, width) else 0)


def cut_right(line: str, width: int) -> str:
    """A line without what has no room."""
    return line[:width].rstrip()


def more_lines(view: TrendsView, at: int, width: int, most: int) -> list[Content]:
    """All that is known of the marked row, then what the whole leaves out."""
    table = view.table
    if table is None:
        return []
    lines: list[Content] = []
    if at < len(table.rows):
        for sentence in row_sentences(table, table.rows[at]):
            lines += wrap(harmless(sentence), width)
    elif not table.rows:
        lines += wrap("No session says anything of it.", width)
    return _fitted(lines, [harmless(note) for note in notes(table)], width, most)


def _fitted(lines: list[Content], said: Sequence[str], width: int, most: int) -> list[Content]:
    """Lines with as many notes as there is room for, each whole or not at all; what has none is in the help."""
    for note in said:
        wrapped = wrap(note, width, "$faint")
        if len(lines) + len(wrapped) <= most:
            lines += wrapped
    return lines[:most]
