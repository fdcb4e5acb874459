"""What was found so far, read on one long sheet: what stands in the way, results, readings, what was left out."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.review.record import so_far
from wizard.screens.desk import Desk
from wizard.screens.handing import zone_of
from wizard.screens.models.preview import preview
from wizard.screens.panel import Panel
from wizard.screens.widgets.more import More


class FoundPanel(Panel[cmd.Command]):
    """Read only."""

    HERE: ClassVar[tuple[str, ...]] = ("scroll",)
    TITLE_TEXT = "What was found so far"
    ABOUT = (
        "What was found so far",
        "What stands in the way first, then everything done, step by step. Up and down move it, Esc goes back.",
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk

    def body(self) -> ComposeResult:
        """The record."""
        with VerticalScroll(id="scroll"):
            yield Static(id="found-text")
        yield More("scroll")

    def on_mount(self) -> None:
        """The arrow keys move the text."""
        super().on_mount()
        text = so_far(self._desk.flow, self._desk.state, zone_of(self.host))
        width = max(30, min(self.app.size.width, 110) - 10)
        self.query_one("#found-text", Static).update(Content("\n").join(preview(text, width)))
        self.query_one("#scroll").focus()
