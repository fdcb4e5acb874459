"""What is advised next, and why, on the job map. Reckoned in a thread; keys go on working meanwhile."""

from __future__ import annotations

from textual import work
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.screens.models.advice import Ahead, advised_line, ahead
from wizard.screens.models.lines import cut
from wizard.screens.widgets.answers import KEY
from wizard.screens.widgets.wrapping import wrapped

LINES = 2
"""Lines that it takes at most."""


class AdviceLine(Static):
    """Follows the job; hidden where nothing is advised. ``ahead`` is the advice for the state on screen, once there."""

    DEFAULT_CSS = """
    AdviceLine { height: auto; max-height: 2; }
    """

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.ahead: Ahead | None = None
        self._seq = -1
        self.display = False

    def follow(self, flow: Flow, state: State) -> None:
        """Have the advice for this state reckoned, unless it is there or on its way."""
        if state.seq == self._seq:
            self._draw()
            return
        self._seq, self.ahead = state.seq, None
        self._reckon(flow, state)

    @work(thread=True, exclusive=True, group="advice")
    def _reckon(self, flow: Flow, state: State) -> None:
        found = ahead(flow, state)
        if self.is_mounted and not get_current_worker().is_cancelled:
            self.call_later(self._take, found)

    def _take(self, found: Ahead) -> None:
        """Show it, unless the job moved on meanwhile."""
        if found.seq == self._seq:
            self.ahead = found
            self._draw()

    def _draw(self) -> None:
        says = advised_line(self.ahead) if self.ahead else ""
        self.display = bool(says)
        width = max(20, self.app.size.width - 6)
        lines = wrapped(says, width)
        if len(lines) > LINES:
            lines = [*lines[: LINES - 1], cut(" ".join(lines[LINES - 1 :]), width)]
        shown = [Content.styled(" g ", KEY) if n == 0 else Content("   ") for n in range(len(lines))]
        self.update(
            Content("\n").join(key.append(f" {line}") for key, line in zip(shown, lines, strict=True))
        )
