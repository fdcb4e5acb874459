"""The program of a reviewer: all sessions of a home, read and never written."""

from __future__ import annotations

from typing import Any

from textual.screen import Screen

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.screens.archive.archive_screen import ArchiveScreen
from wizard.screens.program.base_app import BaseApp
from wizard.sessions.session_store import Store


class ArchiveApp(BaseApp):
    """The archive lies under everything."""

    def __init__(self, store: Store, index: ArchiveIndex, asked: ArchiveFilter | None = None) -> None:
        super().__init__(store)
        self._index, self._asked = index, asked

    def get_default_screen(self) -> Screen[Any]:
        """The list."""
        return ArchiveScreen(self.store, self._index, self._asked)

    def action_leave(self) -> None:
        """Leave: nothing is open that could be lost."""
        self.exit(0)
