"""What the screens of a step share: the step on screen, its drawing, the ranking beside it, 'can't'."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.widgets import Static

from wizard.engine.queries import next_queries
from wizard.screens.dialogs.left_out_prompts import ask_left_out
from wizard.screens.job.countdown import Countdown
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.text.columns import Draw
from wizard.screens.viewmodels.step.chart_cache import ChartCache
from wizard.screens.viewmodels.step.current_step import CurrentStep, current_step, too_early
from wizard.screens.viewmodels.step.step_columns import GAP
from wizard.screens.viewmodels.step.step_page import StepPage, step_page
from wizard.screens.viewmodels.step.step_sight import StepSight, sight_of
from wizard.screens.widgets.entry.field import typing
from wizard.screens.widgets.job_map.map_column import MapColumn
from wizard.screens.widgets.pictures.step_side import StepSide


class StepScreen(JobScreen):
    """A step, with its drawing in sight or on a key. ``sight``: what of it is looked at; ``wait``: its countdown."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("picture", "unable", "advice", "explain")

    def __init__(self) -> None:
        super().__init__()
        self.sight = StepSight()
        self.wait = Countdown(lambda: self.controller.wait_left, self.project, self._seen)
        self._charts = ChartCache()
        self._shown_for: tuple[int, str] | None = None

    def _seen(self) -> bool:
        """True while a step is open and nothing lies over it."""
        return self.controller.state.run is not None and self.is_current

    def everywhere(self) -> tuple[str, ...]:
        """The keys of every screen, and what explains; letters do nothing while a field is typed in."""
        return super().everywhere() if typing(self) else (*super().everywhere(), "advice", "explain")

    def on_mount(self) -> None:
        """Count a wait down."""
        self.set_interval(1.0, self.wait.tick)

    def refresh_all(self) -> None:
        """Everything from the state; from the moment a step is first shown, its words are read."""
        if self.is_mounted and self.controller.state.run is not None:
            current = self.current
            at = (current.run.id, current.run.at)
            before = self.sight if at == self._shown_for else None
            self.sight = sight_of(current, self._charts.lines(current, self.host.system), before)
            self._shown_for = at
            self.wait.drawn()
            super().refresh_all()
            self.host.guard.ask(current.asked, current.seconds)

    def hurried(self) -> bool:
        """True, and said, while the words of a step that keeps people safe can't have been read yet."""
        why = too_early(self.current, self.host.guard.unread, self.sight.alone)
        if why:
            self.host.say(why)
        return bool(why)

    @property
    def current(self) -> CurrentStep:
        """The step on screen."""
        return current_step(self.controller.view)

    def body(self) -> ComposeResult:
        """The map on the left, the words, and on the right drawing and evidence."""
        with Horizontal(id="columns"):
            yield MapColumn(id="map-column")
            yield from self.words_side()
            yield StepSide()

    def words_side(self) -> ComposeResult:
        """What is asked: the words of the step, and what belongs under them."""
        yield Static(id="words")

    def lay(self, draw: Draw, lines: Callable[[int], int], narrowest: int = 0) -> StepPage:
        """Lay the step out as ``step_page`` does, and show all of it but its words."""
        view, room = self.controller.view, self.room
        page = step_page(draw, lines, room, self.sight, not next_queries.open_facts(view), narrowest)
        self.sight = self.sight.laid(page.shown, page.layout.beside)
        self.query_one("#words", Static).display = not self.sight.alone
        self.query_one(StepSide).show(view, page, self.sight, room)
        self.query_one(MapColumn).show(view, page.map - GAP, room.lines)
        return page

    def look(self, sight: StepSight) -> None:
        """Look at something else of the step."""
        if sight != self.sight:
            self.sight = sight
            self.refresh_all()

    def action_picture(self) -> None:
        """Show the drawing instead of the words, or the words again; the whole machine, or its part from close by."""
        self.look(self.sight.turned())

    def action_unable(self) -> None:
        """It can't be done, or its part is not fitted: ask which, and why."""
        ask_left_out(self.host, self.current)
