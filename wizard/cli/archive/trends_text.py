"""What ``steadfoot archive trends`` writes: rows for people with a plot in ASCII, CSV, a table for programs."""

from __future__ import annotations

import math
from dataclasses import asdict, fields
from typing import Any

from wizard.archive.trend_cell import TrendGroup, TrendKind
from wizard.archive.trends.interval_plot import interval_plot, scale_top
from wizard.archive.trends.trend_table import TrendRow, TrendTable
from wizard.archive.trends.trend_words import (
    HITS,
    chance,
    filter_words,
    head_of,
    interval,
    key_of,
    notes,
    share,
    title_of,
    value,
)
from wizard.cli.archive.archive_text import csv_text
from wizard.domain.probability import percent

PLOT = 24
"""Columns of a plot."""


def heads_of(table: TrendTable) -> list[str]:
    """The heads of the columns."""
    first, top = head_of(table), scale_top(table)
    if table.asked.kind is TrendKind.MINUTES:
        return [first, "sessions", "flow's min", "took", "95 %", f"0 to {top:.1f} x"]
    by_month = table.asked.rows_by is TrendGroup.MONTH
    held = f"over {share(table.asked.held)}"
    return [
        first, HITS[table.asked.kind], "of", "share", "95 %", *(["by chance"] if by_month else []), "drawn", held,
        f"0 to {share(top)}",
    ]  # fmt: skip


def cells_of(table: TrendTable) -> list[list[str]]:
    """The cells of a table under the heads."""
    top, by_month = scale_top(table), table.asked.rows_by is TrendGroup.MONTH
    rows = []
    for row in table.rows:
        plot = interval_plot(table, row, top, PLOT)
        if table.asked.kind is TrendKind.MINUTES:
            cells = [f"{row.of}", f"{row.own:.1f}", value(table, row), interval(table, row)]
        else:
            by_chance = [f"{chance(row)}{' !' if row.outside else ''}"] if by_month else []
            cells = [f"{row.hits}", f"{row.of}", value(table, row), interval(table, row), *by_chance]
            cells += [share(row.drawn), percent(row.over)]
        rows.append([key_of(row), *cells, plot])
    return rows


def csv_of(table: TrendTable) -> str:
    """All columns as CSV; what nothing bounds is empty."""
    return csv_text([one.name for one in fields(TrendRow)], (_plain(row).values() for row in table.rows))


def table_of(table: TrendTable) -> dict[str, Any]:
    """The trend as plain dicts; None for what nothing bounds."""
    asked = table.asked
    return {
        "trend": asked.kind.value,
        "by": asked.rows_by.word,
        "title": title_of(table),
        "target": asked.held or None,
        "within": asked.within if asked.kind is TrendKind.BACK else None,
        "filters": filter_words(asked.among),
        "young": table.young,
        "without-serial": table.plateless,
        "not-looked-at": table.unlooked,
        "same-faults": None if table.same_faults is None else asdict(table.same_faults),
        "all": None if asked.kind is TrendKind.MINUTES else _plain(table.whole),
        "rows": [_plain(row) for row in table.rows],
        "notes": list(notes(table)),
    }


def _plain(row: TrendRow) -> dict[str, Any]:
    return {
        name: None if isinstance(cell, float) and not math.isfinite(cell) else cell
        for name, cell in asdict(row).items()
    }
