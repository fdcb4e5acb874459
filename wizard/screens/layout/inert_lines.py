"""The last net before the terminal: no character that it would obey is ever painted."""

from __future__ import annotations

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from wizard.foreign.harmless import inert


class InertLines(LineFilter):
    """Leaves out of every painted line what a terminal obeys. None of it takes a column, so nothing moves.

    Texts from elsewhere are made harmless before they are laid out, so that one sees what stood there; this is for
    what was forgotten.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same segments, their texts inert."""
        return [s if s.control or s.text.isprintable() else Segment(inert(s.text), s.style) for s in segments]
