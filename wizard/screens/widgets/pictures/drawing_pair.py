"""The drawings of a step that are shown together: the part in hand and the whole machine, or one of them."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Container
from textual.content import Content

from wizard.flow.model import Flow
from wizard.screens.viewmodels.step.step_drawings import Arrangement
from wizard.screens.widgets.pictures.drawing_box import DrawingBox


class DrawingPair(Container):
    """Shows an arrangement of drawings, or lines of a picture in their place."""

    DEFAULT_CSS: ClassVar[str] = """
    DrawingPair { width: auto; height: auto; layout: horizontal; }
    DrawingPair #second { margin-left: 3; }
    DrawingPair.-stacked { layout: vertical; }
    DrawingPair.-stacked #second { margin: 1 0 0 0; }
    """

    def compose(self) -> ComposeResult:
        """The drawing that stands first, and the second one."""
        yield DrawingBox(id="first")
        yield DrawingBox(id="second")

    def show(self, flow: Flow, shown: Arrangement) -> bool:
        """Show the drawings. False, and nothing shown, where there is none."""
        self.set_class(shown.stacked, "-stacked")
        boxes = self.query(DrawingBox).results()
        found = [
            box.show(flow, where) for box, where in zip(boxes, (*shown.drawings, None, None), strict=False)
        ]
        return any(found)

    def show_lines(self, lines: tuple[str, ...]) -> None:
        """Show lines in place of the drawings."""
        self.set_class(False, "-stacked")
        first, second = self.query(DrawingBox).results()
        first.display, second.display = True, False
        first.update(Content("\n".join(lines)))
