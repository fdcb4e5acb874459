"""The program of a job: keys in, commands to the engine, the scene of its state out.

The engine, the controller and the screens of a job are imported once home is painted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual import events
from textual.screen import Screen

from wizard.errors import JournalLost
from wizard.screens.launch.home_screen import HomeScreen
from wizard.screens.launch.job_app import JobApp
from wizard.screens.launch.presenter import Presenter, keep_typed
from wizard.screens.layout.key_guard import TOO_QUICK
from wizard.screens.layout.keystroke import keystroke
from wizard.screens.layout.too_small import TooSmall
from wizard.screens.widgets.frame.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.screens.layout.panel import Panel
    from wizard.sessions.session_store import Store

WATCH = 5.0
"""Seconds between two beats: whether the computer was suspended, and whether anybody is known to attend the
machine.
"""


class SteadfootApp(JobApp):
    """The screens of a job; what they may ask of the program is its ``host``."""

    host: Presenter

    def __init__(
        self,
        store: Store,
        flows: Callable[[], Mapping[str, Path]],
        resume: str = "",
        flow: str = "",
        at_once: bool = False,
    ) -> None:
        super().__init__(store)
        self.host = Presenter(self, store)
        self.flows = flows
        self.opening = bool(resume)
        self._start = (resume, flow)
        self._at_once = at_once or bool(resume)

    def get_default_screen(self) -> Screen[Any]:
        """The home screen lies under everything."""
        return HomeScreen()

    def on_mount(self) -> None:
        """The beat of the job, and straight to work if asked."""
        self.set_interval(WATCH, self.host.lapses.beat)
        if self._at_once:
            self.call_after_refresh(self._begin_at_once)

    def _begin_at_once(self) -> None:
        from wizard.screens.launch import start_job

        resume, flow = self._start
        if resume:
            start_job.resume(self, resume)
        else:
            start_job.begin(self, flow)

    async def on_event(self, event: events.Event) -> None:
        """Show every key to the guard first, then to the session: after a lapse the key goes nowhere."""
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded and not self._takes(event):
            return
        await super().on_event(event)

    def _takes(self, event: events.Key | events.Paste) -> bool:
        """Whether a key goes on; one that the session can't be told of doesn't."""
        try:
            return self._heard(event)
        except Exception as error:
            self._handle_exception(error)
            return False

    def _heard(self, event: events.Key | events.Paste) -> bool:
        """False where a key is dropped: too early, after a lapse, or for a screen that goes as a job is opened."""
        if self.opening and getattr(event, "key", "") != "f12":
            return False
        stroke = keystroke(event, self.screen)
        if stroke is not None and self.host.guard.early(
            stroke.key, stroke.text, stroke.typing, stroke.more, stroke.character
        ):
            self.say(self.host.guard.notice)
            return False
        self._unsay()
        if self.host.lapses.key() and self.host.on_job:
            self.host.show()
            return False
        return True

    def _unsay(self) -> None:
        """Take back that a key was too quick: this one is taken."""
        for line in self.screen.query(MessageLine):
            if line.says.startswith(TOO_QUICK):
                line.say()

    def on_panel_overlaid(self, _message: Panel.Overlaid) -> None:
        """A question lies over the screen."""
        self.host.guard.arm()

    def renew(self, says: str) -> None:
        """The job in hand goes on on a new screen; where that breaks at once, it is put away, and home says so."""
        self.opening = False
        try:
            keep_typed(self.host, self.screen)
            if self.defects.again:
                self.host.release()
        except Exception as error:
            self.defects.follows(error)
        super().renew(says)
        self.host.show(anew=says)

    def uncovered(self) -> None:
        """Draw the job anew."""
        self.host.show()

    def help_keys(self, screen: Screen[Any]) -> tuple[str, ...]:
        """With the key that stops work, on a screen of a job."""
        return (*super().help_keys(screen), *(("stop",) if self.host.on_job and self.host.going else ()))

    def action_archive(self) -> None:
        """All sessions, for a reviewer."""
        from wizard.screens.launch.open_archive import open_archive

        open_archive(self)

    def action_leave(self) -> None:
        """Leave the program; with a job open, ask first."""
        if self.host.lost:
            self.exit(JournalLost.exit_code)
        elif not self.host.going or isinstance(self.screen, TooSmall):
            self.exit(0)
        elif not self.host.on_job:
            self.say("First finish here, or go back with Esc.")
        else:
            from wizard.screens.launch.opening import KEPT, LEAVE
            from wizard.screens.viewmodels.questions import YesReply, ask_yes

            ask = ask_yes(LEAVE, KEPT, "Leave", "Stay")
            self.host.put(ask, lambda yes: self.exit(0) if yes == YesReply.YES else None)

    def on_unmount(self) -> None:
        """Let the journal go."""
        self.host.release()
