"""What the programs of a job and of a replay share: themes, help, a window too small, an end by a defect."""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, ClassVar

from rich.console import Console
from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.filter import LineFilter
from textual.screen import Screen

from wizard.platform import crash_log
from wizard.screens.layout import key_table, themes
from wizard.screens.layout.inert_lines import InertLines
from wizard.screens.layout.too_small import TooSmall, small
from wizard.screens.widgets.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.sessions.session_store import Store


_INERT = InertLines()


class BaseApp(App[int], inherit_bindings=False):
    """A program on the sessions of a home."""

    CSS_PATH = "../layout/steadfoot.tcss"
    TITLE = "Steadfoot"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]
    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("theme", "help"),
        Binding("f12", "leave", "leave", show=False, priority=True),
        Binding("ctrl+c,ctrl+q", "hint", "how to leave", show=False, priority=True),
    ]

    def __init__(self, store: Store) -> None:
        super().__init__()
        self.store, self.clock = store, store.clock
        self._defect = io.StringIO()
        self.error_console = Console(file=self._defect, markup=False, highlight=False)
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.DARK.name

    def run_to_end(self) -> int:
        """Run in the terminal and return the exit code. A defect goes into the log, and one plain line says so."""
        code = self.run()
        if text := self._defect.getvalue():
            print(crash_log.keep_text(self.store.root, text), file=sys.stderr)
        return code if code is not None else (self.return_code or 0)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual's own, and the last net before the terminal."""
        return [*super().get_line_filters(), _INERT]

    def say(self, text: str) -> None:
        """Put a sentence on the message line of the screen on top."""
        for line in self.screen.query(MessageLine):
            line.say(text)

    def on_resize(self, event: events.Resize) -> None:
        """Cover the screens while the window is too small for them."""
        covered = isinstance(self.screen, TooSmall)
        if small(event.size.width, event.size.height) and not covered:
            self.push_screen(TooSmall())
        elif not small(event.size.width, event.size.height) and covered:
            self.pop_screen()
            self.uncovered()

    def uncovered(self) -> None:
        """Called when the window is large enough again."""

    def help_keys(self, screen: Screen[Any]) -> tuple[str, ...]:
        """The ids of the keys that help explains on a screen."""
        here = screen.here() if hasattr(screen, "here") else getattr(screen, "HERE", ())
        every = screen.everywhere() if hasattr(screen, "everywhere") else ("back",)
        return (*here, *every)

    def action_theme(self) -> None:
        """The other theme."""
        self.theme = themes.other(self.theme)

    def action_hint(self) -> None:
        """The usual ways out are hit by mistake with gloves on."""
        self.say("F12 leaves the program.")

    def action_help(self) -> None:
        """Help for the screen on top."""
        from wizard.screens.dialogs.help_panel import HelpPanel

        title, says = getattr(self.screen, "ABOUT", ("", ""))
        if title:
            self.push_screen(HelpPanel(title, says, self.help_keys(self.screen)))
