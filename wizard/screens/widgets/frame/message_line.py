"""One line over the keys: a thin rule, or what the engine said when it refused."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from wizard.screens.text.charset import sign


class MessageLine(Static):
    """A rule across the screen that becomes a sentence when there is something to say. Two lines when it is long."""

    DEFAULT_CSS = """
    MessageLine { height: auto; max-height: 3; width: 1fr; color: $rule; }
    MessageLine.-says { color: $key; background: $key-ground; text-style: bold; padding: 0 1; }
    """

    says = ""

    def say(self, text: str = "") -> None:
        """Show a sentence, or the rule again."""
        self.says = text
        self.set_class(bool(text), "-says")
        self.update(Content(text) if text else Content(sign("─") * max(1, self.app.size.width - 2)))

    def on_resize(self) -> None:
        """Draw the rule as long as the screen is wide."""
        if not self.says:
            self.say()
