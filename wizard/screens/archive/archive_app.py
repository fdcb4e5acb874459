"""The program of a reviewer: all sessions of a home, read and never written."""

from __future__ import annotations

from typing import Any

from textual.screen import Screen

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.trends.trend_table import TrendAsked
from wizard.screens.archive.archive_screen import ArchiveScreen
from wizard.screens.archive.trends_screen import TrendsScreen
from wizard.screens.archive.trends_view import TrendsView
from wizard.screens.program.base_app import BaseApp
from wizard.sessions.session_store import Store


class ArchiveApp(BaseApp):
    """The archive lies under everything."""

    def __init__(
        self,
        store: Store,
        index: ArchiveIndex,
        asked: ArchiveFilter | None = None,
        trend: TrendAsked | None = None,
    ) -> None:
        super().__init__(store)
        self._index, self._asked, self._trend = index, asked, trend

    def get_default_screen(self) -> Screen[Any]:
        """The list, or the trend that is asked for."""
        if self._trend is not None:
            return TrendsScreen(self.store, self._index, TrendsView.of(self._trend), first=True)
        return ArchiveScreen(self.store, self._index, self._asked)

    def action_leave(self) -> None:
        """Leave: nothing is open that could be lost."""
        self.exit(0)
