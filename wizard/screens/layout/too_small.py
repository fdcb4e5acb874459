"""The window is too small to work in safely: say so, lose nothing, go away by itself."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

COLUMNS, LINES = 80, 24


def small(columns: int, lines: int) -> bool:
    """True when the screens would not fit."""
    return columns < COLUMNS or lines < LINES


class TooSmall(ModalScreen[None]):
    """Lies over whatever is on screen until the window is large enough. No key gets past it."""

    AUTO_FOCUS: ClassVar[str | None] = ""

    def compose(self) -> ComposeResult:
        """Two short sentences that fit any window."""
        yield Static(id="words", markup=False)

    def on_mount(self) -> None:
        """Show the size."""
        self._show()

    def on_resize(self, _event: events.Resize) -> None:
        """Show the size again."""
        self._show()

    def on_key(self, event: events.Key) -> None:
        """Swallow every key but the one that leaves."""
        if event.key != "f12":
            event.stop()
            event.prevent_default()

    def _show(self) -> None:
        size = self.app.size
        self.query_one("#words", Static).update(
            f"This window has {size.width} x {size.height}. Steadfoot needs {COLUMNS} x {LINES}.\n"
            "Make it larger: nothing is lost."
        )
