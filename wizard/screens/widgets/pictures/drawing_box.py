"""A line drawing with the part at hand lit: reverse and bold, and named in words, so that no colour is needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.widgets import Static

from wizard.domain.references import DrawingRef
from wizard.screens.text.terminal_encoding import encodable, terminal_encoding

if TYPE_CHECKING:
    from wizard.flow.model import Drawing, Flow

LIT = "bold reverse"


def picture(drawing: Drawing, region: str = "", plain: bool = False) -> Content:
    """The drawing, its region lit. Trailing cells of a region are padded, so that all of it is seen."""
    rows = drawing.plain if plain else drawing.rows
    cells = drawing.regions.get(region, frozenset())
    lines = [_line(text, sorted(c for r, c in cells if r == n)) for n, text in enumerate(rows)]
    return Content("\n").join(lines)


def _line(text: str, lit: list[int]) -> Content:
    padded = text.ljust(lit[-1] + 1) if lit else text
    content = Content(padded)
    for start, end in _spans(lit):
        content = content.stylize(LIT, start, end)
    return content


def _spans(columns: list[int]) -> list[tuple[int, int]]:
    """Neighbouring columns as (start, end) pairs, the end exclusive."""
    found: list[tuple[int, int]] = []
    for column in columns:
        if found and found[-1][1] == column:
            found[-1] = (found[-1][0], column + 1)
        else:
            found.append((column, column + 1))
    return found


def caption(region: str, plain: bool = False) -> str:
    """The words under a drawing that say what is lit, or nothing."""
    sign = ">" if plain else "▸"
    return f"{sign} {region.replace('-', ' ')}" if region else ""


class DrawingBox(Static):
    """Shows one drawing with a region lit; empty when the step has none."""

    DEFAULT_CSS = """
    DrawingBox { width: auto; height: auto; max-width: 38; }
    """

    def show(self, flow: Flow, where: DrawingRef | None) -> bool:
        """Show what a step names. False, and nothing shown, where the flow has no such drawing."""
        drawing = flow.drawings.get(where.drawing) if where else None
        self.display = drawing is not None
        if drawing is None or where is None:
            self.update("")
            return False
        plain = not encodable("".join(drawing.rows), terminal_encoding())
        words = caption(where.region if where.region in drawing.regions else "", plain)
        content = picture(drawing, where.region, plain)
        self.update(Content("\n").join([content, Content(words)]) if words else content)
        return True
