"""What stands beside the words of a step, or in their place: its drawings or its chart, and the ranking."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical

from wizard.engine.state.job_view import JobView
from wizard.screens.viewmodels.step.body_room import BodyRoom
from wizard.screens.viewmodels.step.step_drawings import GAP
from wizard.screens.viewmodels.step.step_page import StepPage
from wizard.screens.viewmodels.step.step_sight import StepSight
from wizard.screens.widgets.faults.ranking_box import RankingBox
from wizard.screens.widgets.pictures.drawing_pair import DrawingPair


class StepSide(Vertical):
    """Drawings over the ranking; the drawings alone where they are asked for in place of the words."""

    def __init__(self) -> None:
        super().__init__(id="side")

    def compose(self) -> ComposeResult:
        """The drawings over the ranking."""
        yield DrawingPair(id="drawing")
        yield RankingBox(id="standing")

    def show(self, view: JobView, page: StepPage, sight: StepSight, room: BodyRoom) -> None:
        """Show what a page has beside its words; ``sight`` is what is in sight since it was laid out."""
        beside = page.layout.beside
        box, ranking = self.query_one(DrawingPair), self.query_one(RankingBox)
        if sight.lines:
            box.show_lines(sight.lines)
        else:
            box.show(view.flow, sight.standing(beside, room.columns, room.lines))
        self.display = beside or sight.alone
        ranking.display = beside and room.wide
        if ranking.display:
            ranking.follow(view, max(page.columns.evidence, sight.columns(page.shown) - GAP))
