"""What is advised next, and why, on the job map. Computed in a thread; keys go on working meanwhile."""

from __future__ import annotations

from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from wizard.domain.vocabulary import Lead
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.screens.text.clipping import cut
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.faults.advice_rows import Ahead, advised_line, order_line
from wizard.screens.widgets.entry.answer_list import KEY
from wizard.screens.widgets.faults.ahead_worker import compute_ahead

LINES = 3
"""Lines that it takes at most."""


class AdviceLine(Static):
    """Follows the job; hidden where nothing is advised. ``ahead`` is the advice for the state on screen, once
    there.
    """

    DEFAULT_CSS = """
    AdviceLine { height: auto; }
    """

    class Weighed(Message):
        """The advice for the state on screen is there."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.ahead: Ahead | None = None
        self._flow: Flow | None = None
        self._seq, self._width, self._lines = -1, 0, LINES
        self.display = False

    def follow(self, view: JobView, width: int, lines: int = LINES) -> None:
        """Have the advice for this state computed, unless it is there or on its way; shown in so much room."""
        self._width, self._lines = max(20, width), lines
        if view.state.seq == self._seq:
            self._draw()
            return
        self._seq, self.ahead, self._flow = view.state.seq, None, view.flow
        compute_ahead(self, view, self._take)

    def _take(self, found: Ahead) -> None:
        """Show it, unless the job moved on meanwhile."""
        if found.seq == self._seq:
            self.ahead = found
            self._draw()
            self.post_message(self.Weighed())

    def _draw(self) -> None:
        """Why comes next what is advised, and the key to the other way."""
        says = advised_line(self.ahead) if self.ahead else ""
        other = order_line(self._flow, self.ahead) if self.ahead and self._flow else ""
        self.display = bool(says)
        lines = wrapped(says, self._width)
        if len(lines) > self._lines:
            lines = [*lines[: self._lines - 1], cut(" ".join(lines[self._lines - 1 :]), self._width)]
        rows = [*lines, *wrapped(other, self._width)]
        at = len(lines) if other else 0 if self.ahead and self.ahead.lead is Lead.ORDER else None
        keys = [Content.styled(" g ", KEY) if n == at else Content("   ") for n in range(len(rows))]
        self.update(Content("\n").join(key.append(f" {row}") for key, row in zip(keys, rows, strict=True)))
