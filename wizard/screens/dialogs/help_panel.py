"""Help for every screen: what it is for, the keys that work on it, and the words."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.wrapping import wrapped
from wizard.screens.widgets.entry.scroll_hint import ScrollHint

WORDS = (
    (
        "asked first",
        "What a step needs of the machine and nobody knows yet. Never skipped, and asked again after any break.",
    ),
    ("power held", "The plug is out, in your hand or in its bag; tried: nothing came on afterwards."),
    ("proved dead", "Measured, with a tester tried before and after on a live source."),
    (
        "HANDS OUT",
        "Less is known than when your hands went in: take them out until it was asked again.",
    ),
    (
        "not now",
        "What the machine must be first, it can't be made now, such as a run with a part off.",
    ),
    ("verdict", "Pass, watch or fail. A reading too near a limit for its uncertainty is 'watch'."),
    ("limit", "What a reading is judged by; its source stands under the ruler."),
)
"""The words that the screens use, for whoever meets them first."""


class HelpPanel(Panel[None]):
    """Everything about one screen."""

    HERE = ("cursor",)
    TITLE_TEXT = "Help"

    def __init__(self, title: str, says: str, ids: Sequence[str]) -> None:
        super().__init__()
        self._title, self._says, self._ids = (
            title,
            says,
            tuple(dict.fromkeys(name.partition(":")[0] for name in ids)),
        )

    def title_text(self) -> str:
        """The screen's name."""
        return f"Help: {self._title}"

    def body(self) -> ComposeResult:
        """What it is for, keys, words; scrolled where it is longer than the screen."""
        with VerticalScroll(id="scroll"):
            yield Static(Content("\n").join(help_lines(self._says, self._ids, 72)), id="words")
        yield ScrollHint("scroll")

    def on_mount(self) -> None:
        """Arrow keys scroll."""
        self.query_one("#scroll").focus()


def help_lines(says: str, ids: Sequence[str], width: int) -> list[Content]:
    """The lines of a help screen."""
    lines = [Content(x) for x in wrapped(says, width)]
    lines += [Content(""), Content.styled("Keys", "bold $primary")]
    for name in ids:
        key = key_table.KEYS[name]
        both = key.letter if key.letter == key.function else f"{key.letter}  {key.function}"
        rows = wrapped(key.help, width - 11)
        lines.append(Content.styled(f"{both:<10} ", "bold").append(rows[0]))
        lines += [Content(" " * 11 + row) for row in rows[1:]]
    lines += [Content(""), Content.styled("Words", "bold $primary")]
    for word, meaning in WORDS:
        rows = wrapped(meaning, width - 13)
        lines.append(Content.styled(f"{word:<13}", "bold").append(rows[0]))
        lines += [Content(" " * 13 + row) for row in rows[1:]]
    return lines
