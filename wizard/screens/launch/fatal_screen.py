"""The disk refused to keep an event: what happened, what is safe, how to go on. Nothing more is written."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from wizard.errors import JournalLost
from wizard.screens.launch.opening import LOST_TITLE, lost_words
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import wrap


class FatalScreen(ModalScreen[None], inherit_bindings=False):
    """The end of this run of the program."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,f12", "out", "leave", show=False)]
    AUTO_FOCUS = ""

    def __init__(self, lost: JournalLost) -> None:
        super().__init__()
        self._lost = lost

    def compose(self) -> ComposeResult:
        """What is to be known now."""
        yield Static(id="words", markup=False)

    def on_mount(self) -> None:
        """Lay the sentences out."""
        width = min(74, self.app.size.width - 4)
        first, *rest = lost_words(self._lost)
        blocks = [
            [Content.styled(f" {LOST_TITLE} ", "bold reverse $error")],
            wrap(first, width, "bold"),
            *(wrap(words, width) for words in rest),
            [Content.styled(" Enter ", "bold $key on $key-ground").append("  Leave the program")],
        ]
        self.query_one("#words", Static).update(Content("\n").join(stack(*blocks)))

    def action_out(self) -> None:
        """Leave, with the exit code of a lost journal."""
        self.app.exit(JournalLost.exit_code)
