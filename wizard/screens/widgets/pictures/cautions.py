"""A warning before the action: its signal word, then its text. Words after ANSI Z535.6 and ISO 3864."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from wizard.flow.model import Caution
from wizard.screens.text.caution_text import caution_lines


class Cautions(Static):
    """Cautions kept in sight on what lies over their step; nothing where there are none."""

    DEFAULT_CSS = """
    Cautions { width: 1fr; height: auto; margin-bottom: 1; }
    """

    def __init__(self, cautions: Sequence[Caution], id: str | None = None) -> None:
        super().__init__(id=id)
        self._cautions = tuple(cautions)
        self.display = bool(self._cautions)

    def on_resize(self) -> None:
        """Wrap them to the width that there is."""
        self.update(Content("\n").join(caution_lines(self._cautions, max(20, self.size.width))))
