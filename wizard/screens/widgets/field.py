"""A field for one line of text: a number, a name, a word."""

from __future__ import annotations

from textual import events
from textual.widgets import Input

from wizard.screens.plain import plain


class Field(Input):
    """An input without a frame. Letters typed in it are text; function keys stay keys."""

    is_field = True

    DEFAULT_CSS = """
    Field { border: none; border-left: heavy $primary; height: 1; padding: 0 1; background: $panel; }
    Field:focus { border: none; border-left: heavy $primary; background: $panel; }
    Field.-plain, Field.-plain:focus { border-left: ascii $primary; }
    """

    def __init__(self, text: str = "", id: str | None = None, keys: str = "") -> None:
        super().__init__(text, id=id, select_on_focus=False)
        self._keys = keys
        self.cursor_position = len(text)
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
        """Put in a character that was typed before the field had the focus, so that no half of a number is lost."""
        self.insert_text_at_cursor(character)

    def spend(self, text: str, instead: str = "") -> None:
        """Clear away a text that was taken, but keep what was typed behind it in the meantime.

        ``instead`` stands there where nothing was typed meanwhile.
        """
        self.value = self.value.removeprefix(text) or instead
        self.cursor_position = len(self.value)
