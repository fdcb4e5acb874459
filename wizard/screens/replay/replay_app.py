"""The program of a reviewer: one session, read and never written, on the replay screen."""

from __future__ import annotations

from typing import Any

from textual.screen import Screen

from wizard.screens.program.base_app import BaseApp
from wizard.screens.replay.replay_screen import ReplayScreen
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.sessions.session_store import Store


class ReplayApp(BaseApp):
    """A session loaded once; ``event`` is where it opens. UsageError where there is no such event."""

    def __init__(self, store: Store, session: str, event: int = 0) -> None:
        self.session = ReviewedSession(store, session)
        self.first = self.session.place_of(event)
        super().__init__(store)

    def get_default_screen(self) -> Screen[Any]:
        """The replay lies under everything."""
        return ReplayScreen(self.session, self.first)

    def help_keys(self, screen: Screen[Any]) -> tuple[str, ...]:
        """All keys of the replay, those of its running too."""
        if isinstance(screen, ReplayScreen):
            return (*screen.HERE, *screen.EVERYWHERE, *screen.UNSHOWN)
        return super().help_keys(screen)

    def action_leave(self) -> None:
        """Leave: nothing is open that could be lost."""
        self.exit(0)
