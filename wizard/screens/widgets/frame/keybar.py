"""The keys that work now, on two lines: those of this screen, then those of every screen."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static


def key_line(pairs: Sequence[tuple[str, str]], width: int, strong: bool) -> Content:
    """Keys and labels on one line; where they don't fit the last ones are left out, but not a ``strong`` line's last.

    That is how work is stopped, or how one goes back.
    """
    kept = len(pairs)
    while kept and _wide(_some(pairs, kept, strong)) > width:
        kept -= 1
    line = Content("")
    for key, label in _some(pairs, kept, strong):
        gap = "  " if len(line) else ""
        line = line.append(gap).append(Content.styled(key, "bold $primary"))
        line = line.append(Content.styled(f" {label}", "" if strong else "$faint"))
    return line


def _some(pairs: Sequence[tuple[str, str]], count: int, strong: bool) -> Sequence[tuple[str, str]]:
    """The first ones; of a strong line always the last instead of the last of these."""
    return [*pairs[: count - 1], pairs[-1]] if strong and count else pairs[:count]


def _wide(pairs: Sequence[tuple[str, str]]) -> int:
    return sum(len(key) + 1 + len(label) for key, label in pairs) + 2 * (len(pairs) - 1)


class KeyBar(Static):
    """Two lines at the foot."""

    DEFAULT_CSS = """
    KeyBar { height: 2; width: 1fr; }
    """

    def show(self, here: Sequence[tuple[str, str]], everywhere: Sequence[tuple[str, str]]) -> None:
        """Show the keys of this screen and those of every screen."""
        width = max(20, self.app.size.width - 2)
        self.update(Content("\n").join([key_line(here, width, True), key_line(everywhere, width, False)]))
