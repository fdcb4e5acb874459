"""A bare Textual app with one of each widget that the home screen uses: what any program takes to start and echo."""

from __future__ import annotations

from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import Screen
from textual.widgets import Static

WORDS = [f"{line} {'words ' * 6}" for line in range(16)]


class Focused(Static, can_focus=True):
    """A widget that takes keys, and draws a screenful of other words for each: what a question has."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("1,u", "count", "count")]
    count = 0

    def action_count(self) -> None:
        """Echo a key, in every widget."""
        self.count += 1
        for line in self.screen.query(".line").results(Static):
            line.update(f"{self.count} of many")
        self.update(
            "\n".join([*(f"{self.count} {line}" for line in WORDS), f"Question {self.count} of many"])
        )


class BareHome(Screen[None]):
    """Two lines, a box with something that takes keys, a line below."""

    AUTO_FOCUS = "Focused"

    def compose(self) -> ComposeResult:
        """Name, box, keys."""
        yield Static("Steadfoot", classes="line", markup=False)
        with Vertical():
            yield Focused("Question 0 of many")
        yield Static("1 u", classes="line", markup=False)


class BareProgram(App[int]):
    """Nothing but the screen."""

    ENABLE_COMMAND_PALETTE = False

    def get_default_screen(self) -> Screen[None]:
        """The screen."""
        return BareHome()


if __name__ == "__main__":
    BareProgram().run()
