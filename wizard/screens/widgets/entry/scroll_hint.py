"""The line that says that more follows than is in sight."""

from __future__ import annotations

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.screens.text.charset import plain, sign

STYLE = "bold $primary"


def more(rows: int) -> Content:
    """'▼ 14 more': the rows of a list that follow below."""
    return Content.styled(f"{sign('▼')} {rows} more", STYLE)


def above() -> str:
    """The sign of a list that begins further up."""
    return "^" if plain() else "▲"


def read_on() -> Content:
    """'▼ more: read on with Down': a text that goes on below."""
    return Content.styled(f"{sign('▼')} more: read on with Down", STYLE)


class ScrollHint(Static):
    """Stands under a text that is scrolled, and says so as long as there is more of it below."""

    DEFAULT_CSS = """
    ScrollHint { height: 1; width: 1fr; }
    """

    def __init__(self, over: str) -> None:
        """``over``: the CSS id of the text's scroll."""
        super().__init__()
        self._over, self._says = over, False

    @property
    def says(self) -> bool:
        """True while it says that more follows."""
        return self._says

    def on_mount(self) -> None:
        """Follow the text, and how much of it there is room for."""
        self.watch(self._box, "scroll_y", self._look)
        self.screen.screen_layout_refresh_signal.subscribe(self, lambda _screen: self._look())

    @property
    def _box(self) -> VerticalScroll:
        return self.screen.query_one(f"#{self._over}", VerticalScroll)

    def _look(self) -> None:
        box = self._box
        below = box.display and box.max_scroll_y > box.scroll_offset.y
        if below != self._says:
            self._says = below
            self.update(read_on() if below else "")
