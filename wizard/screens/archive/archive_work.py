"""What the reviewer's screen reads, in threads: a page, what is new, a session whole. What came back is handed over."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.screen import Screen
from textual.worker import Worker

from wizard.archive.across.chain_crossings import last_gone
from wizard.archive.across.crossings import crossing_lines, crossings
from wizard.archive.apart import bring_up_apart
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchivePage, ArchiveRow
from wizard.archive.bringing_up import BringingUp
from wizard.archive.trends.trend_table import TrendAsked, TrendTable, trend_table
from wizard.archive.visits.machine_visit import machine_words, visits_of
from wizard.errors import SteadfootError
from wizard.screens.archive.across_panel import AcrossPanel, across_entries
from wizard.screens.archive.archive_view import MOST, Doing
from wizard.screens.archive.review_screen import ReviewScreen
from wizard.screens.archive.visits_screen import VisitsScreen
from wizard.screens.dialogs.message_panel import MessagePanel
from wizard.screens.program.screen_work import ScreenWork
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.sessions.session_store import Store
from wizard.sessions.trusting.ledger_compared import LedgersCompared, ledgers_compared


class ArchiveWork(ScreenWork):
    """Reads for a screen. ``found`` gets a page and what it was asked by, ``going`` how far the index is, None at the
    end, and ``said`` what went wrong; all of them in the thread of the screen. ``ledgers``: those that sessions were
    compared with, None until the index was brought up.
    """

    def __init__(
        self,
        screen: Screen[Any],
        store: Store,
        index: ArchiveIndex,
        found: Callable[[ArchiveFilter, ArchivePage], None],
        going: Callable[[Doing | None], None],
        text: Callable[[str], None],
    ) -> None:
        self._screen, self.store, self.index = screen, store, index
        self.ledgers: LedgersCompared | None = None
        self._found, self._going, self._said = found, going, text

    def ask(self, panel: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the screen; ``then`` gets its answer unless it was left without one."""
        self._screen.app.push_screen(panel, lambda answer: None if answer is None else then(answer))

    def lay(self, screen: Screen[Any]) -> None:
        """Lay a screen over this one."""
        self._screen.app.push_screen(screen)

    def search(self, asked: ArchiveFilter) -> None:
        """Find what is asked for."""
        self.begin(
            "archive-search",
            lambda worker: self.hand(worker, self._found, asked, self.index.find(asked, MOST)),
        )

    def compute(self, asked: TrendAsked, then: Callable[[TrendTable], None]) -> None:
        """Compute a trend."""
        self.begin("archive-trend", lambda worker: self.hand(worker, then, trend_table(self.index, asked)))

    def bring_up(self) -> None:
        """Read what is new or changed, and look at it."""

        def work(worker: Worker[Any]) -> None:
            def say(what: BringingUp, done: int, of: int) -> bool:
                self.hand(worker, self._going, Doing(what, done, of))
                return not worker.is_cancelled

            try:
                bring_up_apart(self.index, self.store, say)
                self.ledgers = ledgers_compared(self.store.root, self.store.ledger)
            finally:
                self.hand(worker, self._going, None)

        self.begin("archive-up", work)

    def visits(self, row: ArchiveRow) -> None:
        """Read all jobs at the machine of a session, and lay them side by side over the list."""

        def work(worker: Worker[Any]) -> None:
            found = visits_of(self.index, self.store, row.plate) if row.plate else ()
            if found:
                shown: Screen[Any] = VisitsScreen(self.open, machine_words(row), found)
                self.hand(worker, self._screen.app.push_screen, shown)
            self.hand(worker, self._said, "" if found else "Nobody noted a serial number of this machine.")

        self._said("Reading the jobs at this machine ...")
        self.begin("archive-visits", work)

    def across(self, then: Callable[[tuple[str, ...]], None]) -> None:
        """Find what stands in several sessions and list it; ``then`` gets the sessions of the one that is picked."""

        def work(worker: Worker[Any]) -> None:
            found = (*last_gone(self.store.home), *crossings(self.index))
            panel = AcrossPanel(across_entries(found), crossing_lines(found))
            self.hand(
                worker, self.ask, panel, lambda n: then(found[n].sessions) if found[n].sessions else None
            )
            self.hand(worker, self._said, "")

        self._said("Holding the sessions beside each other ...")
        self.begin("archive-across", work)

    def open(self, session: str) -> None:
        """Read a session whole and lay its replay over the list, or say why it can't be read."""

        def work(worker: Worker[Any]) -> None:
            try:
                shown: Screen[Any] = ReviewScreen(ReviewedSession(self.store, session))
            except SteadfootError as problem:
                shown = MessagePanel("It can't be read", (str(problem),))
            self.hand(worker, self._screen.app.push_screen, shown)
            self.hand(worker, self._said, "")

        self.begin("archive-open", work)
