"""A warning before the action: its signal word, then its text. Words after ANSI Z535.6 and ISO 3864."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wizard.flow.model import Caution
from wizard.screens.text.caution_text import caution_lines

NARROWEST = 20
"""Columns that they are wrapped to at the least."""


class Cautions(Widget):
    """Cautions kept in sight on what lies over their step; nothing where there are none."""

    DEFAULT_CSS = """
    Cautions { width: 1fr; height: auto; margin-bottom: 1; }
    """

    def __init__(self, cautions: Sequence[Caution], id: str | None = None) -> None:
        super().__init__(id=id)
        self._cautions = tuple(cautions)
        self.display = bool(self._cautions)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as they take at this width: no line of a warning is ever cut."""
        return len(caution_lines(self._cautions, max(NARROWEST, width)))

    def render(self) -> Content:
        """The cautions, wrapped to the width that there is."""
        return Content("\n").join(caution_lines(self._cautions, max(NARROWEST, self.size.width)))
