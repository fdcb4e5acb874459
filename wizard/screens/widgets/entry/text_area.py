"""A field for sentences: it wraps, and Enter ends it."""

from __future__ import annotations

from textual import events
from textual.message import Message
from textual.widgets import TextArea

from wizard.foreign.limits import TEXT_LENGTH
from wizard.screens.text.charset import plain


class Words(TextArea):
    """Text on a few lines, as long as a page at most. Enter posts Given; it puts no line break."""

    is_field = True

    DEFAULT_CSS = """
    Words { height: 5; border: none; border-left: heavy $primary; padding: 0 1; background: $panel; }
    Words:focus { border: none; border-left: heavy $primary; }
    Words.-plain, Words.-plain:focus { border-left: ascii $primary; }
    """

    class Given(Message):
        """Enter was pressed; ``text`` is what stands in the field, stripped."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def __init__(self, text: str = "", id: str | None = None) -> None:
        super().__init__(text, soft_wrap=True, show_line_numbers=False, id=id, tab_behavior="focus")
        self.cursor_location = self.document.end
        self.set_class(plain(), "-plain")

    def on_key(self, event: events.Key) -> None:
        """Enter hands over what was written, in the order of the keys."""
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.post_message(self.Given(" ".join(self.text.split())))
        elif event.is_printable and len(self.text) >= TEXT_LENGTH:
            event.stop()
            event.prevent_default()
