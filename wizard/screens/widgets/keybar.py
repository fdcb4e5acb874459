"""The keys that work now, on two lines: those of this screen, then those of every screen."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static


def key_line(pairs: Sequence[tuple[str, str]], width: int, strong: bool) -> Content:
    """Keys and labels on one line; the last ones are left out where they don't fit."""
    line = Content("")
    for key, label in pairs:
        gap = "  " if len(line) else ""
        if len(line) + len(gap) + len(key) + 1 + len(label) > width:
            break
        line = line.append(gap).append(Content.styled(key, "bold $primary"))
        line = line.append(Content.styled(f" {label}", "" if strong else "$faint"))
    return line


class KeyBar(Static):
    """Two lines at the foot."""

    DEFAULT_CSS = """
    KeyBar { height: 2; width: 1fr; }
    """

    def show(self, here: Sequence[tuple[str, str]], everywhere: Sequence[tuple[str, str]]) -> None:
        """Show the keys of this screen and those of every screen."""
        width = max(20, self.app.size.width - 2)
        self.update(Content("\n").join([key_line(here, width, True), key_line(everywhere, width, False)]))
