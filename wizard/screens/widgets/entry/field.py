"""A field for one line of text: a number, a name, a word."""

from __future__ import annotations

from typing import Any

from textual import events
from textual.screen import Screen
from textual.widgets import Input

from wizard.foreign.limits import LINE_LENGTH
from wizard.screens.text.charset import plain


def typing(screen: Screen[Any]) -> bool:
    """True while letters are text on a screen: a field has the keys, or the screen has one that takes what is
    typed.
    """
    return getattr(screen.focused, "is_field", False) or getattr(screen, "takes_text", False)


class EntryField(Input):
    """An input without a frame. Letters typed in it are text, ``most`` of them; function keys stay keys. A text that is
    ``offered`` is taken by Enter, and goes with the first letter that is typed.
    """

    is_field = True

    DEFAULT_CSS = """
    EntryField { border: none; border-left: heavy $primary; height: 1; padding: 0 1; background: $panel; }
    EntryField:focus { border: none; border-left: heavy $primary; background: $panel; }
    EntryField.-plain, EntryField.-plain:focus { border-left: ascii $primary; }
    """

    def __init__(
        self,
        text: str = "",
        id: str | None = None,
        keys: str = "",
        most: int = LINE_LENGTH,
        offered: bool = False,
    ) -> None:
        super().__init__(text[:most], id=id, select_on_focus=offered, max_length=most)
        self._keys = keys
        self.cursor_position = len(self.value)
        self.set_class(plain(), "-plain")

    def on_key(self, event: events.Key) -> None:
        """Enter hands over what stands here now, in the order of the keys: none typed after it gets in."""
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.post_message(self.Submitted(self, self.value))

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """True for what is text here: all but the characters that were handed in as ``keys``, which stay keys."""
        return super().check_consume_key(key, character) and (character or " ") not in self._keys

    def take(self, character: str) -> None:
        """Put in a character that was typed before the field had the focus, so that no half of a number is lost; in
        place of what is selected, as with the focus.
        """
        self.replace(character, *self.selection)

    def spend(self, text: str, instead: str = "") -> None:
        """Clear away a text that was taken, but keep what was typed behind it in the meantime.

        ``instead`` stands there where nothing was typed meanwhile.
        """
        self.value = self.value.removeprefix(text) or instead
        self.cursor_position = len(self.value)
