"""What the screens of a step share: the step on screen, its drawing, the ranking beside it, 'can't'."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.engine.state import Run
from wizard.flow.model import Inspection, Step
from wizard.screens import keys
from wizard.screens.asks import AskOne, AskReason
from wizard.screens.jobscreen import JobScreen
from wizard.screens.widgets.drawing import DrawingBox, split
from wizard.screens.widgets.standing import Standing

GAP = 3
"""Columns between the words and what stands beside them."""


class StepScreen(JobScreen):
    """A step, with its drawing in sight or on a key."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings("picture", "unable", "advice", "explain")

    def __init__(self) -> None:
        super().__init__()
        self._picture = False

    def everywhere(self) -> tuple[str, ...]:
        """The keys of every screen, and what explains; letters do nothing while a field is typed in."""
        typing = self.focused is not None and getattr(self.focused, "is_field", False)
        return super().everywhere() if typing else (*super().everywhere(), "advice", "explain")

    @property
    def run(self) -> Run:
        """The run on screen."""
        run = self.desk.state.run
        assert run is not None
        return run

    @property
    def inspection(self) -> Inspection:
        """The inspection on screen."""
        return self.desk.flow.inspections[self.run.inspection]

    @property
    def step(self) -> Step:
        """The step on screen."""
        step = self.inspection.step(self.run.at)
        assert step is not None
        return step

    def side(self) -> ComposeResult:
        """What stands beside the words."""
        with Vertical(id="side"):
            yield DrawingBox(id="drawing")
            yield Standing(id="standing")

    @property
    def margin(self) -> int:
        """Columns that the ranking takes on a wide screen where no drawing stands above it."""
        return 0

    def picture_width(self) -> int:
        """Columns that the drawing takes with its gap; 0 where the step has none, or is looked at alone."""
        wide = self.drawing_width()
        return max(wide, Standing.WIDTH + GAP) if self.wide else wide

    def drawing_width(self) -> int:
        """Columns of the drawing with its gap; 0 where the step has none."""
        drawing = self.desk.flow.drawings.get(split(self.step.drawing)[0])
        return max(map(len, drawing.rows)) + GAP if drawing else 0

    def show_drawing(self, box: DrawingBox) -> bool:
        """Show the drawing. False where there is none."""
        return box.show(self.desk.flow, self.step.drawing)

    def show_side(self, beside: bool) -> None:
        """Show drawing and ranking beside the words, the drawing alone where it was asked for, or neither."""
        box = self.query_one(DrawingBox)
        found = self.show_drawing(box)
        self._picture = self._picture and found and not beside
        self.query_one("#side").display = beside or self._picture
        self.query_one("#words", Static).display = not self._picture
        standing = self.query_one(Standing)
        standing.display = beside and self.wide
        if standing.display:
            standing.follow(self.desk.flow, self.desk.state)
        self._hidden = found and not beside

    _hidden = False

    def picture_key(self) -> tuple[str, ...]:
        """The key of the drawing where it isn't in sight."""
        return ("picture",) if self._hidden else ()

    def action_picture(self) -> None:
        """Show the drawing instead of the words, or the words again."""
        if self._hidden:
            self._picture = not self._picture
            self.refresh_all()

    def action_unable(self) -> None:
        """It can't be done, or its part is not fitted: ask which, and why."""
        gate = bool(self.inspection.gate)
        says = "This is a gate: if it can't be done, work stops here." if gate else self.step.do
        choices = (("unable", "It can't be done"), ("not-fitted", "This machine has no such part"))
        if gate:
            self.ask_why("unable", says)
        else:
            self.host.ask(AskOne("Leave this step out?", says, choices), lambda how: self.ask_why(how, says))

    def ask_why(self, how: str, says: str) -> None:
        """Ask for the reason and carry it out."""
        run, step = self.run.id, self.step.id
        title = "Why can't it be done?" if how == "unable" else "How do you know that it is not fitted?"
        self.host.ask(AskReason(title, says), lambda why: self.host.act(self.left_out(run, step, how, why)))

    def left_out(self, run: int, step: str, how: str, why: str) -> cmd.Command:
        """The command for a step that is left out."""
        return cmd.Unable(run, step, why, how)
