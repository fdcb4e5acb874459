"""Lines to read as they are: a picture of an inspection, the path of a case."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.foreign.harmless import harmless
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.widgets.entry.scroll_hint import ScrollHint


class LinesPanel(Panel[None]):
    """Lines, scrolled where they are more than the screen has; Enter or Esc goes back."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("go")
    ABOUT = ("Lines of a flow", "Read them, then press Enter or Esc.")

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self._title, self._lines = title, tuple(lines)

    def title_text(self) -> str:
        """What it is of."""
        return self._title

    def body(self) -> ComposeResult:
        """The lines."""
        with VerticalScroll(id="scroll"):
            yield Static(Content("\n").join(Content(harmless(line)) for line in self._lines), id="words")
        yield ScrollHint("scroll")

    def action_go(self) -> None:
        """Back."""
        self.dismiss(None)
