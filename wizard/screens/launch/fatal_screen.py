"""The disk refused to keep an event: what happened, what is safe, how to go on. Nothing more is written."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from wizard.errors import JournalLost
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import wrap


class FatalScreen(ModalScreen[None], inherit_bindings=False):
    """The end of this run of the program."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,f12", "out", "leave", show=False)]
    AUTO_FOCUS = ""

    def __init__(self, says: str) -> None:
        super().__init__()
        self._says = says

    def compose(self) -> ComposeResult:
        """What is to be known now."""
        yield Static(id="words", markup=False)

    def on_mount(self) -> None:
        """Lay the sentences out."""
        width = min(74, self.app.size.width - 4)
        blocks = [
            [Content.styled(" THE RECORD CAN'T BE WRITTEN ", "bold reverse $error")],
            wrap(self._says, width, "bold"),
            wrap("What you answered before this stands safely in the record. The last key may not: look when you "
                 "take the job up again.", width),
            wrap("First see that the machine is safe: this program no longer keeps track of it.", width),
            wrap("Then make room on the disk, or put the drive back, and start the program again. It takes the job up "
                 "where it was, and asks anew how the machine stands.", width),
            [Content.styled(" Enter ", "bold $key on $key-ground").append("  Leave the program")],
        ]  # fmt: skip
        self.query_one("#words", Static).update(Content("\n").join(stack(*blocks)))

    def action_out(self) -> None:
        """Leave, with the exit code of a lost journal."""
        self.app.exit(JournalLost.exit_code)
