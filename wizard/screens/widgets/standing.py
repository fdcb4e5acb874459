"""The faults as they stand now, beside the step on a wide screen. Reckoned in a thread; numpy comes with it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import ClassVar

from textual import work
from textual.content import Content
from textual.widgets import Static

from wizard.engine.ranking import Ranked, ranking
from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.screens.plain import plain

SHOWN = 6


def standing_lines(rows: Sequence[Ranked], width: int) -> list[Content]:
    """The likeliest faults: percent, a bar, the name under it."""
    lines = [Content.styled("What the answers say so far", "$faint")]
    for row in rows[:SHOWN]:
        lines.append(Content(f"{row.probability:4.0%} {_bar(row.probability, width - 6)}"))
        lines.append(Content("     " + textwrap.shorten(row.says, width - 5, placeholder=" ...")))
    return lines


def _bar(share: float, width: int) -> str:
    return ("=" if plain() else "━") * max(1 if share >= 0.005 else 0, round(share * width))


class Standing(Static):
    """Follows the job; shows nothing until something was reckoned."""

    WIDTH: ClassVar[int] = 38
    DEFAULT_CSS = """
    Standing { width: 38; height: auto; margin-top: 1; }
    """

    def follow(self, flow: Flow, state: State) -> None:
        """Reckon the ranking of this state and show it when it is there."""
        self._reckon(flow, state)

    @work(thread=True, exclusive=True, group="standing")
    def _reckon(self, flow: Flow, state: State) -> None:
        rows = ranking(flow, state)
        if self.is_mounted and rows:
            self.app.call_from_thread(self.update, Content("\n").join(standing_lines(rows, self.WIDTH)))
