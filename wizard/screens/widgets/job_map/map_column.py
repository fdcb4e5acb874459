"""The job map as a narrow column beside a step, on a wide screen."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from wizard.engine.state.job_view import JobView
from wizard.screens.text.charset import plain, sign
from wizard.screens.text.verdict_signs import STYLES
from wizard.screens.viewmodels.job_map.column_rows import ColumnRow, column_rows, places
from wizard.screens.viewmodels.job_map.map_rows import MapMark, MapRow
from wizard.screens.widgets.entry.answer_list import pointer


class MapColumn(Static):
    """Follows the job; it has no cursor and takes no key: the map itself is a key away."""

    DEFAULT_CSS = """
    MapColumn { width: auto; height: auto; margin-right: 2; }
    """

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._seq = -1
        self._found: tuple[tuple[MapRow, ...], str] = ((), "")

    def show(self, view: JobView, columns: int, lines: int, in_hand: str = "") -> None:
        """Show the map in so many columns, or nothing where there are none. ``in_hand``: the target of the row that is,
        where that isn't what the job has open.
        """
        self.display = columns > 0
        if not self.display:
            return
        if view.state.seq != self._seq:
            self._seq, self._found = view.state.seq, places(view)
        self.styles.width = columns
        listed, opened = self._found
        found = column_rows(listed, in_hand or opened, columns, lines - 1)
        heading = Content.styled("Job map", "$faint")
        self.update(Content("\n").join([heading, *(line for row in found for line in row_lines(row))]))


def row_lines(row: ColumnRow) -> list[Content]:
    """One row: a mark before the one in hand, the sign of how it stands, its title."""
    bright = row.mark in (MapMark.UNBEGUN, MapMark.OPEN)
    style = "bold" if row.here else STYLES.get(row.mark, "") or ("" if bright else "$faint")
    shown = sign(row.sign) if row.sign in ("✓", "✗") else "." if row.sign == "…" and plain() else row.sign
    first, *rest = row.lines
    lead = Content.styled(pointer(row.here), "bold $primary")
    return [
        lead.append(Content.styled(f"{shown} {first}", style)),
        *(Content.styled(f"    {line}", style) for line in rest),
    ]
