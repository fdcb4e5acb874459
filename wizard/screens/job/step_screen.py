"""What the screens of a step share: the step on screen, its drawing, the ranking beside it, 'can't'."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages import commands as cmd
from wizard.engine.state import queries
from wizard.engine.state.job_state import Run
from wizard.flow.model import Inspection, Step
from wizard.screens.dialogs.left_out_prompts import ask_left_out
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.text.answer_numbering import GRAVE, deliberate
from wizard.screens.text.columns import Draw, StepLayout, fit
from wizard.screens.viewmodels.reading_time import reading_seconds
from wizard.screens.viewmodels.step_columns import EVIDENCE, StepColumns, arrangements
from wizard.screens.viewmodels.step_columns import GAP as MAP_GAP
from wizard.screens.viewmodels.step_drawings import GAP, Arrangement, StepDrawings, drawings_of
from wizard.screens.widgets.drawing_pair import DrawingPair
from wizard.screens.widgets.field import typing
from wizard.screens.widgets.map_column import MapColumn
from wizard.screens.widgets.ranking_box import RankingBox

LEAST = 40
"""Columns that the words keep where two drawings stand beside them."""


class StepScreen(JobScreen):
    """A step, with its drawing in sight or on a key."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("picture", "unable", "advice", "explain")

    def __init__(self) -> None:
        super().__init__()
        self._picture = self._whole = False
        self._shown_for: tuple[int, str] | None = None
        self._shown, self._columns = Arrangement(), StepColumns(0, EVIDENCE)

    def everywhere(self) -> tuple[str, ...]:
        """The keys of every screen, and what explains; letters do nothing while a field is typed in."""
        return super().everywhere() if typing(self) else (*super().everywhere(), "advice", "explain")

    def on_mount(self) -> None:
        """Show the state, and count a wait down."""
        super().on_mount()
        self.set_interval(1.0, self.count_down)

    def count_down(self) -> None:
        """Draw the time that is left of a wait; once more when it has run."""
        left = self.controller.wait_left
        if (left or self._waiting) and self.controller.state.run is not None and self.is_current:
            self._waiting = left > 0
            self.project()

    _waiting = False

    def refresh_all(self) -> None:
        """Everything from the state; from the moment a step is first shown, its words are read."""
        run = self.controller.state.run
        at = (run.id, run.at) if run else None
        if at != self._shown_for:
            self._shown_for = at
            self.begin_step()
        super().refresh_all()
        if self.is_mounted and self.controller.state.run is not None:
            run = self.run
            answered = sum(given.run == run.id for given in self.controller.state.given)
            careful = deliberate(self.controller.flow, self.inspection, self.step)
            seconds = reading_seconds(self.step) if careful else 0.0
            self.host.guard.ask((run.id, run.at, answered), seconds)

    def begin_step(self) -> None:
        """A new step is shown in its own words first: its warnings must not lie under the picture of the last one."""
        self._picture = self._whole = False

    def hurried(self) -> bool:
        """True, and said, while the words of a step that keeps people safe can't have been read yet."""
        left = self.host.guard.unread
        hidden = self._picture and any(
            c.word in GRAVE for c in (*self.step.caution, *self.inspection.caution)
        )
        if hidden:
            self.host.say("The warning stands behind the drawing. Press Tab and read it first.")
        elif left:
            self.host.say(f"Read it first: an answer is taken in {left} s.")
        return hidden or left > 0

    @property
    def run(self) -> Run:
        """The run on screen."""
        run = self.controller.state.run
        assert run is not None
        return run

    @property
    def inspection(self) -> Inspection:
        """The inspection on screen."""
        return self.controller.flow.inspections[self.run.inspection]

    @property
    def step(self) -> Step:
        """The step on screen."""
        step = self.inspection.step(self.run.at)
        assert step is not None
        return step

    def body(self) -> ComposeResult:
        """The map on the left, the words, and on the right drawing and evidence."""
        with Horizontal(id="columns"):
            yield MapColumn(id="map-column")
            yield from self.words_side()
            with Vertical(id="side"):
                yield DrawingPair(id="drawing")
                yield RankingBox(id="standing")

    def words_side(self) -> ComposeResult:
        """What is asked: the words of the step, and what belongs under them."""
        yield Static(id="words")

    @property
    def drawings(self) -> StepDrawings:
        """The drawings of the step."""
        return drawings_of(self.controller.flow, self.step.closeup, self.step.drawing)

    def lay(self, draw: Draw, lines: Callable[[int], int]) -> tuple[StepLayout, int]:
        """Lay the words out; on their left the map, on their right the evidence, under the close-up and the whole
        machine if there is room for both, else under one: as much of it as leaves the words whole.

        ``lines`` gives the lines that the words may take in so many columns. Returns the columns of the words too.
        """
        room = self.room
        columns, high = room.columns, room.lines
        for tried in arrangements(columns, not queries.open_facts(self.controller.view)):
            self._columns = tried
            left = columns - tried.map
            both = self.drawings.both(left - LEAST - GAP, high) if self.room.wide and not self.over else None
            for shown in (both, self.drawings.one(self._whole)):
                if shown is not None:
                    self._shown = shown
                    beside = self.picture_width()
                    beside = 0 if left - beside < max(LEAST * bool(tried.map), self.narrowest) else beside
                    layout = fit(draw, left, lines(left - beside), beside)
                    if layout.beside:
                        return layout, left - beside
        return layout, columns

    @property
    def narrowest(self) -> int:
        """Columns that the left side can't do without."""
        return 0

    @property
    def over(self) -> bool:
        """True while something else takes the place of the drawings."""
        return False

    def picture_width(self) -> int:
        """Columns that stand beside the words, with their gap; 0 where the step has no drawing."""
        wide = self.drawing_width()
        return max(wide, self._columns.evidence + GAP) if self.room.wide else wide

    def drawing_width(self) -> int:
        """Columns of the drawings that are shown, with their gap; 0 where there is none."""
        return self._shown.columns + GAP if self._shown.drawings else 0

    def show_drawing(self, box: DrawingPair, beside: bool) -> bool:
        """Show what stands beside the words; in their place all the drawings there are. False where there is none."""
        shown = (
            self._shown if beside else self.drawings.both(self.room.columns, self.room.lines) or self._shown
        )
        return box.show(self.controller.flow, shown)

    def show_side(self, beside: bool) -> None:
        """Show drawings and ranking beside the words, the drawings alone where they were asked for, or neither."""
        box = self.query_one(DrawingPair)
        found = self.show_drawing(box, beside)
        self._picture = self._picture and found and not beside
        self.query_one("#side").display = beside or self._picture
        self.query_one("#words", Static).display = not self._picture
        standing = self.query_one(RankingBox)
        standing.display = beside and self.room.wide
        if standing.display:
            standing.follow(self.controller.view, max(self._columns.evidence, self.drawing_width() - GAP))
        mapped = self._columns.map if beside else 0
        self.query_one(MapColumn).show(self.controller.view, mapped - MAP_GAP, self.room.lines)
        self._hidden = found and not beside

    _hidden = False

    @property
    def changing(self) -> bool:
        """Whether one of two drawings stands beside the words, and the other can take its place."""
        return not self._hidden and self.drawings.pair and len(self._shown.drawings) == 1

    def picture_key(self) -> tuple[str, ...]:
        """The key of the drawing that isn't in sight."""
        if self.changing:
            return ("see-closeup" if self._whole else "see-whole",)
        return ("picture",) if self._hidden else ()

    def action_picture(self) -> None:
        """Show the drawing instead of the words, or the words again; the whole machine, or its part from close by."""
        if self._hidden:
            self._picture, self._whole = not self._picture, False
        elif self.changing:
            # The whole machine may be too wide beside the words; then it takes their place, with the close-up.
            self._picture = self._whole = not self._whole
        else:
            return
        self.refresh_all()

    def action_unable(self) -> None:
        """It can't be done, or its part is not fitted: ask which, and why."""
        run, step = self.run.id, self.step.id
        ask_left_out(self.host, self.controller.view, lambda how, why: self.left_out(run, step, how, why))

    def left_out(self, run: int, step: str, how: AnswerHow, why: str) -> cmd.Command:
        """The command for a step that is left out."""
        return cmd.SayUnable(run, step, why, how)
