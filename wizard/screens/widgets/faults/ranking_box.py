"""The faults as they stand now and what speaks for the likeliest, beside the step on a wide screen.

Computed in a thread; numpy comes with it. What an overtaken thread brings is dropped.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import work
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from wizard.domain.probability import percent
from wizard.engine.guidance.session_ranking import FaultExplanation, RankedFault, explain, ranking
from wizard.engine.state.job_view import JobView
from wizard.screens.text.charset import plain
from wizard.screens.text.wrapping import counted, hanging, whole_blocks, wrapped
from wizard.screens.viewmodels.faults.explanation_lines import changes, findings, warnings

SHOWN = 6
"""Faults, before there is more room than the reasons take."""

FEW = 3
"""Faults where there is little room below."""

REASONS = 9
"""Lines that an explanation is worth having from: below that there are more faults instead."""


def standing_lines(
    rows: Sequence[RankedFault], width: int, shown: int = SHOWN, room: int = 99
) -> list[Content]:
    """The likeliest faults, each whole: percent, a bar, the name under it; as many as ``room`` lines take, and how
    many more there are.
    """
    blocks = [
        (
            f"{percent(row.probability):>5} {_bar(row.probability, width - 6)}",
            *hanging(" " * 6, row.says, width),
        )
        for row in rows[:shown]
    ]
    lines, left = whole_blocks(blocks, room - 2)
    left += max(0, len(rows) - shown)
    more = [Content.styled(f"and {left} more, each less likely", "$faint")] if left else []
    return [Content.styled("What the answers say so far", "$faint"), *map(Content, lines), *more]


def reason_lines(explained: FaultExplanation, says: str, width: int, room: int) -> list[Content]:
    """Why the likeliest stands first: warnings, the heaviest findings, what would change it most; what has no room
    is counted.
    """
    head, last = wrapped(f"Why {says}", width), changes(explained, width, 1)
    first, _left = whole_blocks(warnings(explained, width)[:2], room // 4)
    left = room - 1 - len(head) - len(first) - len(last)
    lines = [*first, *counted(findings(explained, width), max(1, left)), *last]
    faint = [Content.styled(line, "$faint") for line in head]
    return [Content(""), *faint, *map(Content, lines[: room - 1 - len(head)])]


def beside(
    rows: Sequence[RankedFault], explained: FaultExplanation | None, width: int, room: int
) -> list[Content]:
    """The faults, and why the first of them, in at most ``room`` lines; what the reasons leave is for more faults."""
    for shown in (SHOWN, FEW):
        lines = standing_lines(rows, width, shown, room)
        if explained is not None and room - len(lines) >= REASONS:
            why = reason_lines(explained, rows[0].says, width, room - len(lines))
            return [*standing_lines(rows, width, len(rows), room - len(why)), *why]
    return standing_lines(rows, width, len(rows), room)


def _bar(share: float, width: int) -> str:
    return ("=" if plain() else "━") * max(1 if share >= 0.005 else 0, round(share * width))


class RankingBox(Static):
    """Follows the job; shows nothing until something was computed."""

    WIDTH: ClassVar[int] = 38
    """Columns where nobody says how many there are."""

    DEFAULT_CSS = """
    RankingBox { width: 38; height: auto; margin-top: 1; }
    """

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._seq, self._columns = -1, self.WIDTH
        self._found: tuple[Sequence[RankedFault], FaultExplanation | None] = ((), None)

    def follow(self, view: JobView, columns: int = WIDTH) -> None:
        """Compute the ranking of this state and show it when it is there, unless it is or is on its way."""
        self._columns = self.styles.width = columns
        if view.state.seq == self._seq:
            self.call_after_refresh(
                self._draw
            )  # Where it stands, and so its room, is known once all is laid out.
            return
        self._seq = view.state.seq
        self._compute(view)

    @work(thread=True, exclusive=True, group="standing")
    def _compute(self, view: JobView) -> None:
        rows = ranking(view)
        self._bring(view.state.seq, rows, None)
        if rows and self._seq == view.state.seq:
            self._bring(view.state.seq, rows, explain(view, rows[0].fault))

    def _bring(self, seq: int, rows: Sequence[RankedFault], explained: FaultExplanation | None) -> None:
        if self.is_mounted and rows and not get_current_worker().is_cancelled:
            self.call_later(self._take, seq, rows, explained)

    def _take(self, seq: int, rows: Sequence[RankedFault], explained: FaultExplanation | None) -> None:
        """Show it, unless the job moved on meanwhile."""
        if seq == self._seq:
            self._found = (rows, explained)
            self._draw()

    def _draw(self) -> None:
        rows, explained = self._found
        if rows:
            room = (
                max(FEW, int(self.app.size.height) - self.region.y - 4) if self.region.height else SHOWN * 2
            )
            self.update(Content("\n").join(beside(rows, explained, self._columns, room)))
