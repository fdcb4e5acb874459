"""Something to read and then go back: problems of a file, a message too long for one line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import wrap
from wizard.screens.widgets.entry.scroll_hint import ScrollHint


class MessagePanel(Panel[None]):
    """Paragraphs; Enter or Esc goes back."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("go")
    ABOUT = ("A message", "Read it, then press Enter or Esc.")

    def __init__(self, title: str, says: Sequence[str]) -> None:
        super().__init__()
        self._title, self._says = title, tuple(says)

    def title_text(self) -> str:
        """What it is about."""
        return self._title

    def body(self) -> ComposeResult:
        """The paragraphs, scrolled where they are longer than the screen."""
        with VerticalScroll(id="scroll"):
            yield Static(Content("\n").join(stack(*(wrap(text, 72) for text in self._says))), id="words")
        yield ScrollHint("scroll")

    def action_go(self) -> None:
        """Back."""
        self.dismiss(None)
