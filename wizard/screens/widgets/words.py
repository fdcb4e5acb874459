"""A field for sentences: it wraps, and Enter ends it."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import TextArea


class Words(TextArea):
    """Text of any length on a few lines. Enter posts Given; it puts no line break."""

    is_field = True

    DEFAULT_CSS = """
    Words { height: 5; border: none; padding: 0 1; background: $panel; }
    Words:focus { border: none; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "give", "take it", show=False, priority=True)]

    class Given(Message):
        """Enter was pressed; ``text`` is what stands in the field, stripped."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def __init__(self, text: str = "", id: str | None = None) -> None:
        super().__init__(text, soft_wrap=True, show_line_numbers=False, id=id, tab_behavior="focus")
        self.cursor_location = self.document.end

    def action_give(self) -> None:
        """Hand over what was written."""
        self.post_message(self.Given(" ".join(self.text.split())))
