"""What was found so far, read on one long sheet: what stands in the way, results, readings, what was left out."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.documents.papers.technician_record import findings_so_far
from wizard.engine.messages import commands as cmd
from wizard.screens.job.handover_files import zone_of
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.paper_view import paper_view
from wizard.screens.widgets.entry.scroll_hint import ScrollHint


class FoundPanel(Panel[cmd.Command]):
    """Read only."""

    HERE: ClassVar[tuple[str, ...]] = ("scroll",)
    TITLE_TEXT = "What was found so far"
    ABOUT = (
        "What was found so far",
        "What stands in the way first, then everything done, step by step. Up and down move it, Esc goes back.",
    )

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._controller = controller

    def body(self) -> ComposeResult:
        """The record."""
        with VerticalScroll(id="scroll"):
            yield Static(id="found-text")
        yield ScrollHint("scroll")

    def on_mount(self) -> None:
        """The arrow keys move the text."""
        super().on_mount()
        found = findings_so_far(self._controller.view, zone_of(self.host))
        width = max(30, min(self.app.size.width, 110) - 10)
        self.query_one("#found-text", Static).update(Content("\n").join(paper_view(found, width)))
        self.query_one("#scroll").focus()
