"""Help for every screen: what it is for, the keys that work on it, and the words."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.screens import keys
from wizard.screens.panel import Panel
from wizard.screens.widgets.more import More
from wizard.screens.widgets.wrapping import wrapped

WORDS = (
    (
        "gate",
        "The steps that make the machine safe for what follows. Never skipped, and asked again after any break.",
    ),
    ("isolated", "Plug out and bagged, taps shut, pressure off: no energy but what is stored."),
    ("proved dead", "Measured, with a tester tried before and after on a live source."),
    (
        "bar",
        "What an answer forbids, such as a spin with transit bolts in, until a step or a repair lifts it.",
    ),
    (
        "debt",
        "What is owed, such as a panel to close or a machine to level, before the next spin or the end.",
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
        yield More("scroll")

    def on_mount(self) -> None:
        """Arrow keys scroll."""
        self.query_one("#scroll").focus()


def help_lines(says: str, ids: Sequence[str], width: int) -> list[Content]:
    """The lines of a help screen."""
    lines = [Content(x) for x in wrapped(says, width)]
    lines += [Content(""), Content.styled("Keys", "bold $primary")]
    for name in ids:
        key = keys.KEYS[name]
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
