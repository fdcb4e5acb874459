"""The words of a frame of a replay: what was done stands always in sight, the rest scrolls where it is longer."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.screens.widgets.entry.scroll_hint import ScrollHint

LINES = 3
"""Lines that a key moves the text by."""


class FrameText(Vertical):
    """Lines that stand, lines that scroll, and the word under them that more follow."""

    def __init__(self) -> None:
        super().__init__(id="replay-words")

    def compose(self) -> ComposeResult:
        """What stands, over the text in its scroll."""
        yield Static(id="done-words")
        with VerticalScroll(id="replay-scroll", can_focus=False):
            yield Static(id="words")
        yield ScrollHint("replay-scroll")

    def show(self, standing: Sequence[Content], lines: Sequence[Content]) -> None:
        """Show these lines, the second from their beginning."""
        above = self.query_one("#done-words", Static)
        above.display = bool(standing)
        above.update(Content("\n").join([*standing, Content("")]))
        self.query_one("#words", Static).update(Content("\n").join(lines))
        self._scroll.scroll_home(animate=False)

    def move(self, by: int) -> None:
        """Move the text, down or up."""
        self._scroll.scroll_relative(y=LINES * by, animate=False)

    @property
    def _scroll(self) -> VerticalScroll:
        return self.query_one("#replay-scroll", VerticalScroll)
