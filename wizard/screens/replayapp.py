"""The program of a reviewer: one session, read and never written, on the replay screen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, ClassVar

from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.screen import Screen

from wizard.engine.store import Store
from wizard.errors import UsageError
from wizard.review import signoff, thresholds
from wizard.review.replay import Replay
from wizard.screens import keys, themes, trouble
from wizard.screens.guard import Guard
from wizard.screens.replay import ReplayScreen
from wizard.screens.toosmall import TooSmall, small
from wizard.screens.widgets.message import MessageLine


class ReplayApp(App[int], inherit_bindings=False):
    """A session loaded once; its notes and sign-offs are read again whenever one is written."""

    CSS_PATH = "steadfoot.tcss"
    TITLE = "Steadfoot"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]
    BINDINGS: ClassVar[list[BindingType]] = [
        *keys.bindings("theme", "help"),
        Binding("f12", "leave", "leave", show=False, priority=True),
        Binding("ctrl+c,ctrl+q", "hint", "how to leave", show=False, priority=True),
    ]

    def __init__(self, store: Store, session: str, event: int = 0) -> None:
        super().__init__()
        loaded = store.load(session)
        self.store, self.clock, self.session = store, store.clock, session
        self.guard = Guard(store.clock.mono)
        self.folder: Path = store.home.session_folder(session)
        self.replay = Replay(loaded.flow, loaded.records)
        if event > self.replay.end.seq:
            raise UsageError(
                f"Session {session} has {self.replay.end.seq} events, so there is none with the number {event}."
            )
        self.chain = loaded.chain
        self.thresholds = thresholds.load(store.root)
        self.review = signoff.load(self.folder)
        self.reviewer = ""
        self._first = self.replay.place_of(event)
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.DARK.name

    @property
    def now(self) -> str:
        """The present moment as reviews write it."""
        return self.clock.wall().isoformat(timespec="seconds").replace("+00:00", "Z")

    def get_default_screen(self) -> Screen[Any]:
        """The replay lies under everything."""
        return ReplayScreen(self._first)

    def ask(self, screen: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the screen; ``then`` gets its answer unless it was left without one."""
        self.push_screen(screen, lambda answer: None if answer is None else then(answer))

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

    def action_theme(self) -> None:
        """The other theme."""
        self.theme = themes.other(self.theme)

    def action_hint(self) -> None:
        """The usual ways out are hit by mistake."""
        self.say("F12 leaves the program.")

    def action_help(self) -> None:
        """Help for the screen on top."""
        from wizard.screens.help import HelpPanel

        screen = self.screen
        title, says = getattr(screen, "ABOUT", ("", ""))
        if title:
            every = screen.everywhere() if isinstance(screen, ReplayScreen) else ("back",)
            self.push_screen(HelpPanel(title, says, (*getattr(screen, "HERE", ()), *every)))

    def action_leave(self) -> None:
        """Leave: nothing is open that could be lost."""
        self.exit(0)

    def _handle_exception(self, error: Exception) -> None:
        """A defect of the program: into the log, one plain line, the terminal as it was (see ``SteadfootApp``)."""
        if self.is_headless:
            super()._handle_exception(error)
            return
        self.exit(1, 1, trouble.keep(self.store.root, error))
