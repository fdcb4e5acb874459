"""Beside a frame of a replay: the close-up or drawing that was on the screen, and the ranking of that moment."""

from __future__ import annotations

from textual import work
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content

from wizard.engine.guidance.session_ranking import RankedFault
from wizard.review.guarded import attempt
from wizard.review.replay import Replay, ReplayFrame
from wizard.screens.viewmodels.step.step_drawings import drawings_of
from wizard.screens.widgets.faults.ranking_box import RankingBox, standing_lines
from wizard.screens.widgets.pictures.drawing_pair import DrawingPair

FRAME = 12
"""Lines that a replay has over and under its side."""

_NONE: tuple[RankedFault, ...] = ()


class FrameSide(Vertical):
    """The ranking is computed in a thread; what comes late for another place is dropped."""

    def __init__(self) -> None:
        super().__init__(id="side")
        self._place = 0

    def compose(self) -> ComposeResult:
        """The drawings over the ranking."""
        yield DrawingPair(id="drawing")
        yield RankingBox(id="standing")

    def show(self, replay: Replay, frame: ReplayFrame, place: int) -> None:
        """Show what belongs to a frame."""
        self._place = place
        drawings = drawings_of(replay.flow, frame.shown.closeup, frame.shown.drawing)
        shown = drawings.both(RankingBox.WIDTH, self.app.size.height - FRAME) or drawings.one(False)
        self.query_one(DrawingPair).show(replay.flow, shown)
        self.query_one(RankingBox).update("")
        self._rank(replay, place)

    @work(thread=True, exclusive=True, group="standing")
    def _rank(self, replay: Replay, place: int) -> None:
        rows, _unsound = attempt(lambda: replay.ranked(place), _NONE)
        if self.is_mounted:
            self.app.call_from_thread(self._ranked, place, rows)

    def _ranked(self, place: int, rows: tuple[RankedFault, ...]) -> None:
        if place == self._place:
            lines = standing_lines(rows, RankingBox.WIDTH) if rows else [Content("Nothing is ranked yet.")]
            self.query_one(RankingBox).update(Content("\n").join(lines))
