"""Where one is in the job: the inspection, the step, the minutes so far, and for what a step is asked."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from wizard.screens.text.charset import sign
from wizard.screens.text.clipping import shortened
from wizard.screens.text.step_place import ROOM


def headline(title: str, parts: tuple[str, ...], way: str = "", width: int = ROOM) -> Content:
    """The three lines, none longer than ``width``: title, the place in the job, for what it is asked."""
    some = [p for p in parts if p]
    middle = f" {sign('·')} ".join(some)
    fewer = (f" {sign('·')} ".join(some[:count]) for count in range(len(some) - 1, 0, -1))
    shorter = (middle, middle.removesuffix(" so far"), *fewer)
    middle = next((m for m in shorter if len(m) <= width), middle)
    styled = ((title, "bold $primary"), (middle, ""), (way, "$faint"))
    return Content("\n").join(Content.styled(shortened(text, width), style) for text, style in styled)


class Headline(Static):
    """Three lines at the top left, as wide as the box beside them leaves."""

    DEFAULT_CSS = """
    Headline { width: 1fr; height: 3; }
    """

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._said: tuple[str, tuple[str, ...], str] = ("", (), "")

    def show(self, title: str, parts: tuple[str, ...], way: str = "") -> None:
        """Show a title with what is known of the place in the job."""
        self._said = (title, parts, way)
        self._draw()

    def on_resize(self) -> None:
        """The box beside it has other words, or the window another size."""
        self._draw()

    def _draw(self) -> None:
        self.update(headline(*self._said, self.size.width or ROOM))
