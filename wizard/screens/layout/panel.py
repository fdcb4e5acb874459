"""What lies over a screen and ends with an answer: the base of the questions and of the panels.

A panel is a ``Panel[T]``: it shows a title and a body, and ``dismiss`` gives its answer, or None for going back.
"""

from __future__ import annotations

from typing import ClassVar, Generic, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Static

from wizard.screens.layout import key_table
from wizard.screens.layout.app_protocol import Host, host
from wizard.screens.widgets.entry.field import typing
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine

T = TypeVar("T")


class Panel(ModalScreen[T | None], Generic[T]):
    """A sheet over the screen: title, body, message line, keys. Escape goes back with nothing done."""

    # A modal screen hides the app's own keys, so that of the help is bound here again.
    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("back"),
        Binding("f1", "app.help", "help", show=False),
    ]

    class Overlaid(Message):
        """A panel lies over the screen: a key meant for what is under it must not answer it."""

    HERE: ClassVar[tuple[str, ...]] = ("go",)
    ABOUT: ClassVar[tuple[str, str]] = ("", "")
    TITLE_TEXT: ClassVar[str] = ""

    def compose(self) -> ComposeResult:
        """The frame, with the body in it."""
        with Vertical(id="sheet"):
            yield Static(self.title_text(), id="title", markup=False)
            with Vertical(id="inside"):
                yield from self.body()
            yield MessageLine(id="message")
            yield KeyBar(id="keys")

    def title_text(self) -> str:
        """The line at the top."""
        return self.TITLE_TEXT

    def body(self) -> ComposeResult:
        """The widgets of this panel."""
        yield from ()

    def here(self) -> tuple[str, ...]:
        """The ids of the keys of this panel."""
        return self.HERE

    @property
    def host(self) -> Host:
        """The program."""
        return host(self)

    def on_mount(self) -> None:
        """Show the keys, and stay deaf for a moment."""
        self.query_one(MessageLine).say()
        self.show_keys()
        self.post_message(self.Overlaid())

    def show_keys(self) -> None:
        """The keys that work now."""
        self.query_one(KeyBar).show(key_table.labels((*self.here(), "back"), typing(self)), ())

    def say(self, text: str) -> None:
        """Put a sentence on the message line."""
        self.query_one(MessageLine).say(text)

    def action_back(self) -> None:
        """Leave with nothing done."""
        self.dismiss(None)
