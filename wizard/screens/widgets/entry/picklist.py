"""A list with a mark moved by the arrow keys: a window of rows, as many as there is room for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from wizard.screens.text.charset import sign
from wizard.screens.widgets.entry.scroll_hint import STYLE, above, more

LEAST = 3
"""Lines of a list from which on one of them says that more rows follow."""


def window(count: int, index: int, room: int) -> tuple[int, int]:
    """The rows in sight (first, one past the last) round ``index``; a line is left to say that more follow."""
    first = max(0, min(index - room // 2, count - room))
    if first + room >= count or room < LEAST:
        return first, min(count, first + room)
    first = max(0, index - (room - 1) // 2)
    return first, first + room - 1


def in_sight(heights: Sequence[int], index: int, room: int) -> tuple[int, int]:
    """The rows in sight as ``window`` gives them, where each takes as many lines as its height; the marked one always.

    A line is left to say that more follow.
    """
    count = len(heights)
    if max(heights, default=1) == 1 or sum(heights) <= room:
        return window(count, index, max(room, count) if sum(heights) <= room else room)
    first = last = index
    used = heights[index]
    while first and used + heights[first - 1] <= room // 2:
        first, used = first - 1, used + heights[first - 1]
    last += 1
    while last < count and used + heights[last] <= room - 1:
        used, last = used + heights[last], last + 1
    spare = room - (last < count)
    while first and used + heights[first - 1] <= spare:
        first, used = first - 1, used + heights[first - 1]
    return first, last


class PickList(Static, can_focus=True):
    """Rows of text, of one line or several each, one of them marked. Enter posts Picked; moving posts Moved."""

    DEFAULT_CSS = """
    PickList { height: 1fr; width: 1fr; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "step(-1)", "up", show=False),
        Binding("down,j", "step(1)", "down", show=False),
        Binding("pageup", "step(-8)", "up", show=False),
        Binding("pagedown", "step(8)", "down", show=False),
        Binding("home", "step(-9999)", "first", show=False),
        Binding("end", "step(9999)", "last", show=False),
        Binding("enter", "pick", "take", show=False),
    ]

    class Picked(Message):
        """Enter was pressed on the row with this index."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index

    class Moved(Picked):
        """The mark moved to the row with this index."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: Sequence[Content] = ()
        self.index = 0

    def show(self, rows: Sequence[Content], index: int | None = None) -> None:
        """Show these rows; the mark stays where it is unless told."""
        self.rows = rows
        wanted = self.index if index is None else index
        self.index = min(max(0, wanted), max(0, len(rows) - 1))
        self._draw()

    @property
    def lines(self) -> int:
        """Lines of all rows."""
        return sum(row.plain.count("\n") + 1 for row in self.rows)

    def action_step(self, by: int) -> None:
        """Move the mark."""
        before = self.index
        self.show(self.rows, self.index + by)
        if self.index != before:
            self.post_message(self.Moved(self.index))

    def action_pick(self) -> None:
        """Take the marked row."""
        if self.rows:
            self.post_message(self.Picked(self.index))

    def on_resize(self) -> None:
        """Show as many rows as there is room for."""
        self._draw()

    def _draw(self) -> None:
        heights = [row.plain.count("\n") + 1 for row in self.rows]
        first, last = in_sight(heights, self.index, self.size.height or sum(heights))
        lines = []
        for number, row in enumerate(self.rows[first:last], start=first):
            here = number == self.index
            mark = sign("▸") if here else above() if number == first and first else " "
            for line in (row.stylize("bold") if here else row).split("\n"):
                lines.append(Content.styled(f"{mark} ", STYLE).append(line))
                mark = " "
        if last < len(self.rows):
            lines.append(Content("  ").append(more(len(self.rows) - last)))
        self.update(Content("\n").join(lines))
