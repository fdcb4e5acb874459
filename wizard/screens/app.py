"""The program: one app that holds the desk, shows its scene, and passes acts to it.

The engine, the desk and the screens of a job are imported once home is painted.
"""

from __future__ import annotations

import asyncio
import contextlib
import signal
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.screen import Screen

from wizard.errors import JournalLost
from wizard.screens import keys, registry, themes, trouble
from wizard.screens.guard import Guard
from wizard.screens.home import HomeScreen
from wizard.screens.toosmall import TooSmall, small
from wizard.screens.widgets.message import MessageLine

if TYPE_CHECKING:
    from wizard.engine.opened import Opened
    from wizard.engine.store import Store
    from wizard.screens.desk import Act, Ask, Desk
    from wizard.screens.scene import Place, Scene

WATCH = 5.0
"""Seconds between two looks whether a gate lapsed with nobody at the keys."""


class SteadfootApp(App[int], inherit_bindings=False):
    """Keys in, commands to the engine, the scene of its state out."""

    CSS_PATH = "steadfoot.tcss"
    TITLE = "Steadfoot"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]
    BINDINGS: ClassVar[list[BindingType]] = [
        *keys.bindings("theme", "help"),
        Binding("f12", "leave", "leave", show=False, priority=True),
        Binding("ctrl+c,ctrl+q", "hint", "how to leave", show=False, priority=True),
    ]

    def __init__(
        self,
        store: Store,
        flows: Callable[[], Mapping[str, Path]],
        resume: str = "",
        flow: str = "",
        at_once: bool = False,
    ) -> None:
        super().__init__()
        self.store, self.flows, self.clock = store, flows, store.clock
        self.guard = Guard(store.clock.mono)
        self.system = "metric"
        self._start = (resume, flow)
        self._at_once = at_once or bool(resume)
        self.opening = bool(resume)
        self._desk: Desk | None = None
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.DARK.name
        self._shown: Scene | None = None
        self._at = 0
        self._lost = False

    @property
    def desk(self) -> Desk:
        """The job on screen. Only screens of a job may ask for it."""
        assert self._desk is not None
        return self._desk

    def get_default_screen(self) -> Screen[Any]:
        """The home screen lies under everything."""
        return HomeScreen()

    def on_mount(self) -> None:
        """The watch for lapses, a clean way out on a signal, and straight to work if asked."""
        self.set_interval(WATCH, self._watch)
        with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
            asyncio.get_running_loop().add_signal_handler(signal.SIGTERM, self.exit, 143)
        if self._at_once:
            self.call_after_refresh(self._begin_at_once)

    def _begin_at_once(self) -> None:
        from wizard.screens import opening

        resume, flow = self._start
        if resume:
            opening.resume(self, resume)
        else:
            opening.begin(self, flow)

    # ---- a job

    def take(self, opened: Opened) -> None:
        """Put an opened session on the desk and show it."""
        from wizard.screens.desk import (
            Desk,
        )  # Late, as all that brings the engine: home is painted without it.

        self.opening = False
        self._desk = Desk(opened)
        self._shown, self._at = None, 0
        self.show()

    def show(self) -> None:
        """Draw the scene of the job: on the screen that is there if it is the right one, else on a new one."""
        from wizard.screens.jobscreen import JobScreen

        scene, desk = self.desk.scene, self.desk
        if not isinstance(self.screen, (HomeScreen, JobScreen)):
            return  # Something lies over it; the answer to that draws it.
        if desk.state.seq != self._at or scene != self._shown:
            self.guard.arm()
        self._at = desk.state.seq
        cls = registry.find(registry.SCREENS[scene.kind])
        self._shown = scene
        if isinstance(self.screen, JobScreen) and type(self.screen) is cls:
            self.screen.refresh_all()
        elif isinstance(self.screen, HomeScreen):
            self.push_screen(cls())
        else:
            self.switch_screen(cls())

    def act(self, *acts: Act) -> None:
        """Carry acts out; ask what they lack; show what follows. A lost journal ends the program's work."""
        from wizard.screens.desk import Ask, Said

        try:
            result = self.desk.act(*acts)
        except JournalLost as lost:
            self._fatal(str(lost))
            return
        self.show()
        if isinstance(result, Said):
            self.say(result.says)
        elif isinstance(result, Ask):
            self._ask_for(result)

    def _ask_for(self, wanted: Ask) -> None:
        """Ask what a command lacks, and try it again with that."""
        from wizard.screens import asks  # Its field of several lines brings tree-sitter with it.

        screen: Screen[Any]
        if wanted.kind == "sure":
            screen = asks.ask_sure(wanted.says)
            self.ask(screen, lambda said: self.act(*wanted.then(said)) if said == "right" else None)
            return
        if wanted.kind == "person":
            screen = asks.AskText("Who is the second person?", wanted.says)
        else:
            screen = asks.AskReason("Why?", wanted.says)
        self.ask(screen, lambda text: self.act(*wanted.then(text)))

    def ask(self, screen: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the screen; ``then`` gets its answer unless it was left without one."""

        def answered(answer: Any) -> None:
            if self._desk is not None:
                self.show()
            if answer is not None:
                then(answer)

        self.push_screen(screen, answered)

    def panel(self, name: str) -> None:
        """Lay a panel over the screen; the command it ends with is carried out."""
        where = registry.PANELS[name]
        self.ask(registry.find(where)(self.desk), lambda act: self.act(act))

    def go(self, place: Place) -> None:
        """Go to a place of the job."""
        self.desk.place = place
        self.show()

    def say(self, text: str) -> None:
        """Put a sentence on the message line of the screen on top."""
        for line in self.screen.query(MessageLine):
            line.say(text)

    def _fatal(self, says: str) -> None:
        from wizard.screens.fatal import FatalScreen

        self._lost = True
        self.push_screen(FatalScreen(says))

    def close_job(self) -> None:
        """Take the job off the desk and go back to the home screen."""
        if self._desk is not None:
            self._desk.close()
            self._desk = None
        while len(self.screen_stack) > 1:
            self.pop_screen()
        if isinstance(self.screen, HomeScreen):
            self.screen.refresh_all()

    # ---- keys and time

    async def on_event(self, event: events.Event) -> None:
        """Tell the session of every key first: if its gate lapsed meanwhile, the key goes nowhere.

        Nor does one while a job is being opened, but for leaving: it was meant for the screen that goes.
        """
        typed = isinstance(event, (events.Key, events.Paste)) and not event.is_forwarded
        if typed and self.opening and getattr(event, "key", "") != "f12":
            return
        if typed and self._lapsed():
            self.show()
            return
        await super().on_event(event)

    def _lapsed(self) -> bool:
        """Touch the session. True when that ended a gate and the screen of a job is on top."""
        if self._desk is None or self._lost:
            return False
        try:
            lapsed = self._desk.touch(getattr(self.screen, "typed", ""))
        except JournalLost as lost:
            self._fatal(str(lost))
            return True
        return lapsed and self._on_job()

    def _on_job(self) -> bool:
        """True when a screen of a job is on top."""
        from wizard.screens.jobscreen import JobScreen

        return isinstance(self.screen, JobScreen)

    def _watch(self) -> None:
        """Nobody at the keys: the safety box must not go on saying what no longer counts."""
        if self._desk is not None and self._desk.opened.session.overdue and self._lapsed():
            self.show()

    def on_resize(self, event: events.Resize) -> None:
        """Cover the screens while the window is too small for them."""
        covered = isinstance(self.screen, TooSmall)
        if small(event.size.width, event.size.height) and not covered:
            self.push_screen(TooSmall())
        elif not small(event.size.width, event.size.height) and covered:
            self.pop_screen()
            if self._desk is not None:
                self.show()

    def action_theme(self) -> None:
        """The other theme."""
        self.theme = themes.other(self.theme)

    def action_hint(self) -> None:
        """The usual ways out are hit by mistake with gloves on."""
        self.say("F12 leaves the program.")

    def action_help(self) -> None:
        """Help for the screen on top."""
        from wizard.screens.help import HelpPanel

        screen = self.screen
        title, says = getattr(screen, "ABOUT", ("", ""))
        if title:
            here = screen.here() if hasattr(screen, "here") else getattr(screen, "HERE", ())
            every = screen.everywhere() if hasattr(screen, "everywhere") else ("back",)
            stop = ("stop",) if self._on_job() and self.desk.state.job != "closed" else ()
            self.push_screen(HelpPanel(title, says, (*here, *every, *stop)))

    def action_leave(self) -> None:
        """Leave the program; with a job on the desk, ask first."""
        if self._lost:
            self.exit(JournalLost.exit_code)
        elif self._desk is None or self._desk.state.job == "closed" or isinstance(self.screen, TooSmall):
            self.exit(0)
        elif not self._on_job():
            self.say("First finish here, or go back with Esc.")
        else:
            from wizard.screens import asks

            says = "The job is kept as it stands. When it is taken up again, every gate is asked again."
            ask = asks.ask_yes("Leave the program?", says, "Leave", "Stay")
            self.ask(ask, lambda yes: self.exit(0) if yes == "yes" else None)

    def on_unmount(self) -> None:
        """Let the journal go."""
        if self._desk is not None:
            self._desk.close()

    def _handle_exception(self, error: Exception) -> None:
        """A defect of the program: write it to the log and leave with a plain line, the terminal as it was.

        Textual offers no public hook for this; without it a person would be shown a traceback.
        """
        if self.is_headless:
            super()._handle_exception(error)
            return
        self.exit(1, 1, trouble.keep(self.store.root, error))
