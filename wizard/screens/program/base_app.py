"""What the programs of a job and of a replay share: themes, help, a window too small, an end by a defect."""

from __future__ import annotations

import io
import sys
from typing import TYPE_CHECKING, Any, ClassVar

from rich.console import Console
from textual import events
from textual.binding import Binding, BindingType
from textual.screen import Screen

from wizard.foreign.harmless import harmless_lines
from wizard.foreign.limits import TEXT_LENGTH
from wizard.platform import crash_log, terminal
from wizard.screens.layout import key_table, themes
from wizard.screens.layout.too_small import TooSmall, small
from wizard.screens.program.defects import Defects
from wizard.screens.program.ending_signals import lost_code
from wizard.screens.program.paced_driver import BURST, DROPPED, KeysDropped
from wizard.screens.program.terminal_app import TerminalApp
from wizard.screens.widgets.frame.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.sessions.session_store import Store


SAID = 0.3
"""Seconds after which a screen that was made anew can say something."""


def pasted(text: str) -> str:
    """A pasted text as it may stand in a field: harmless, and no longer than the longest."""
    lines = "\n".join(text[: TEXT_LENGTH + 1].splitlines()).replace("\t", " ")
    return harmless_lines(lines)[:TEXT_LENGTH]


class BaseApp(TerminalApp, inherit_bindings=False):
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
        self.defects = Defects(store.root, store.clock.mono)
        self.survives = False
        self._renewing = False
        self.notice = ""  # Why the screens were made anew, until the next key.

    def run_to_end(self) -> int:
        """Run in the terminal and return the exit code. Defects go into the log; too many of them end the program, and
        one plain line says so.
        """
        self.survives = True
        terminal.end_when_lost(lost_code())
        code = self.run()
        if text := self._defect.getvalue():
            print(crash_log.keep_text(self.store.root, text), file=sys.stderr)
        return code if code is not None else (self.return_code or 0)

    def on_keys_dropped(self, _dropped: KeysDropped) -> None:
        """Say that keys were left out, so that nobody takes a cut text for a whole one."""
        self.say(DROPPED.format(most=BURST))

    def say(self, text: str) -> None:
        """Put a sentence on the message line of the screen on top."""
        for screen in self.screen_stack[-1:]:
            for line in screen.query(MessageLine):
                line.say(text)

    def _handle_exception(self, error: Exception) -> None:
        """Go on after whatever a handler, a worker, a timer or a drawing raised: Textual brings all of it here.

        It has no public way to do so, and the widget that raised hears nothing more: so the screens are made anew. A
        test fails when Textual no longer asks here.
        """
        if self._renewing:
            self.defects.follows(error)
        elif self.survives and self.is_running and (says := self.defects.met(error)):
            self._renewing = True
            self.call_later(self._renew, says)
        else:
            super()._handle_exception(error)

    async def on_event(self, event: events.Event) -> None:
        """Whatever comes to the program itself; what raises here would end its loop."""
        if isinstance(event, events.Paste):
            event.text = pasted(event.text)
        elif isinstance(event, events.Key):
            self.notice = ""
        try:
            if isinstance(event, events.Key) and hasattr(self.screen, "before_key"):
                self.screen.before_key(event)
            await super().on_event(event)
        except Exception as error:
            self._handle_exception(error)

    def _renew(self, says: str) -> None:
        self._renewing = False
        self.renew(says)
        if small(self.size.width, self.size.height):
            self.push_screen(TooSmall())

    def renew(self, says: str) -> None:
        """Make all screens anew, and say why. The one at the bottom can't be taken away: a new one lies over it."""
        while len(self.screen_stack) > 1:
            self.pop_screen()
        self.notice = says
        self.push_screen(self.get_default_screen())
        self.set_timer(SAID, lambda: self.say(self.notice) if self.notice else None)

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
