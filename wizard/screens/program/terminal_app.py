"""A program that fills the terminal: how keys come in and lines go out, and how the terminal is given back."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import App
from textual.driver import Driver
from textual.filter import LineFilter

from wizard.screens.layout.inert_lines import InertLines
from wizard.screens.program.continued_driver import continued
from wizard.screens.program.ending_signals import end_by_signals
from wizard.screens.program.paced_driver import paced

_INERT = InertLines()


class TerminalApp(App[int], inherit_bindings=False):
    """What lies between any screen of the program and the terminal."""

    def get_driver_class(self) -> type[Driver]:
        """Textual's own for this platform, which drops keys that no hand can have pressed, and outlives a stop."""
        return paced(continued(super().get_driver_class()))

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual's own, and the last net before the terminal."""
        return [*super().get_line_filters(), _INERT]

    def on_mount(self) -> None:
        """A clean way out on a signal; drawn anew after a stop, since nobody knows what the terminal shows then."""
        if not self.is_headless:
            end_by_signals(self)
        self.app_resume_signal.subscribe(self, lambda _app: self.screen.refresh(), immediate=True)
