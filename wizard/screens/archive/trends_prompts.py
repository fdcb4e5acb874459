"""What is asked on the screen of trends: which rows, the target, the days. Hands over the view that is wanted."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from wizard.archive.trend_cell import TrendKind
from wizard.archive.trends.trend_table import MOST_DAYS
from wizard.archive.trends.trend_words import GROUP_WORDS, MEANS
from wizard.screens.archive.trends_view import TrendsView
from wizard.screens.dialogs.prompts import AskText
from wizard.screens.replay.replay_lists import ListEntry, ListPanel

if TYPE_CHECKING:
    from wizard.screens.archive.archive_prompts import Question

_SHARE = re.compile(r"\d{1,2}(\.\d{1,4})?", re.ASCII)


class AskDays(AskText):
    """How many days."""

    def wrong(self, text: str) -> str:
        """Why this is no number of days."""
        fine = text.isascii() and text.isdecimal() and int(text) <= MOST_DAYS
        return "" if fine else f"Write a number of days from 0 to {MOST_DAYS}."


class AskShare(AskText):
    """A share, in per cent."""

    def wrong(self, text: str) -> str:
        """Why this is no share."""
        fine = _SHARE.fullmatch(text) and 0.0 < float(text) < 100.0
        return "" if fine else "Write a share over 0 and under 100 per cent, as 5 or 2.5."


class TrendsPrompts:
    """Asks, and hands over the view that is wanted."""

    def __init__(self, ask: Question, change: Callable[[TrendsView], None]) -> None:
        self._ask, self._change = ask, change

    def rows(self, view: TrendsView) -> None:
        """What has a row of its own."""
        entries = [ListEntry(GROUP_WORDS[group], n) for n, group in enumerate(view.groups)]
        self._ask(ListPanel("Rows by", entries), lambda n: self._change(view.rows_by(view.groups[n])))

    def held(self, view: TrendsView) -> None:
        """The share that rows are held against; a time has none."""
        if view.kind is TrendKind.MINUTES:
            return
        text = f"{MEANS[view.kind]} Which share is too many, in per cent?"
        panel = AskShare("Target", text, f"{view.asked(1).held * 100:g}")
        self._ask(panel, lambda typed: self._put(view, target=float(typed) / 100))

    def days(self, view: TrendsView) -> None:
        """Within how many days a machine comes back."""
        if view.kind is TrendKind.BACK:
            panel = AskDays("Days", "Within how many days does a machine come back?", str(view.within))
            self._ask(panel, lambda typed: self._put(view, within=int(typed)))

    def _put(self, view: TrendsView, **changes: Any) -> None:
        self._change(replace(view, table=None, **changes))
