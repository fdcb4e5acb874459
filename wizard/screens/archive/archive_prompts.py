"""What the reviewer is asked: words to search for, which filter, and its value, picked where there are few."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import SIGN_TO_READ, is_day
from wizard.errors import SteadfootError
from wizard.foreign.harmless import harmless
from wizard.screens.archive.archive_view import FILTERS, OFFERED, PICKED, SIGN, ArchiveView
from wizard.screens.dialogs.prompts import AskText
from wizard.screens.replay.replay_lists import ListEntry, ListPanel

if TYPE_CHECKING:
    from textual.screen import Screen

Question = Callable[["Screen[Any]", Callable[[Any], None]], None]
ANY = "any"


class AskDay(AskText):
    """A day, a month or a year; an empty one takes the filter away."""

    def wrong(self, text: str) -> str:
        """Why this is no day."""
        return "" if not text or is_day(text) else "Write 2026-11-25, 2026-11 or 2026; nothing for any day."


class ArchivePrompts:
    """Asks, and hands over the view that is wanted. ``said`` gets what went wrong."""

    def __init__(
        self,
        index: ArchiveIndex,
        ask: Question,
        change: Callable[[ArchiveView], None],
        sentence: Callable[[str], None],
    ) -> None:
        self._index, self._ask, self._change, self._said = index, ask, change, sentence

    def search(self, view: ArchiveView) -> None:
        """Words, each from its beginning; none takes the search away."""
        says = "All of these words, each from its beginning: complaint, notes, names, parts, plate. Nothing for all."
        panel = AskText("Search", says, view.asked.words, empty=True)
        self._ask(panel, lambda words: self._change(view.ask("words", words)))

    def filter(self, view: ArchiveView) -> None:
        """Which filter, then its value."""
        set_now = dict(view.asked.asked)
        entries = [
            ListEntry(f"{says:<18} {harmless(set_now.get(name, ANY))}", n)
            for n, (name, says) in enumerate(FILTERS)
        ]
        self._ask(ListPanel("Filter by", entries), lambda n: self._value(view, FILTERS[n][0], FILTERS[n][1]))

    def _value(self, view: ArchiveView, name: str, says: str) -> None:
        now = dict(view.asked.asked).get(name, "")
        if name not in PICKED:
            kind = AskDay if name in ("since", "until") else AskText
            hint = (
                "A day, a month or a year: 2026-11-25, 2026-11, 2026."
                if kind is AskDay
                else "A part of it will do."
            )
            self._ask(kind(says, hint, now, empty=True), lambda value: self._change(view.ask(name, value)))
            return
        try:
            found = () if name in OFFERED else self._index.values(name)
        except SteadfootError as problem:
            self._said(str(problem))
            return
        unread = [SIGN_TO_READ] if name == SIGN else list(OFFERED.get(name, ()))
        values = ["", *unread, *(value for value, _count in found)]
        rows = [f"{'Any':<30}", *unread, *(f"{harmless(value):<30} {count}" for value, count in found)]
        entries = [ListEntry(row, n) for n, row in enumerate(rows)]
        start = values.index(now) if now in values else 0
        self._ask(ListPanel(says, entries, start), lambda n: self._change(view.ask(name, values[n])))
