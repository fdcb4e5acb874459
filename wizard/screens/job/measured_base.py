"""What the screens of measured and computed steps share: a picture in place of the drawing, and the units of a
key.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from wizard.documents.content.measurements import earlier, worst_of
from wizard.engine.measuring.computing import unit_of
from wizard.engine.measuring.judging import Judged, limit_of
from wizard.flow.model import aid_of, reading_of
from wizard.measure.quantities import units
from wizard.screens.job.step_screen import StepScreen
from wizard.screens.layout import key_table
from wizard.screens.text.charset import plain
from wizard.screens.text.unit_text import system_of
from wizard.screens.viewmodels.step_drawings import GAP
from wizard.screens.widgets.drawing_pair import DrawingPair

SEEN = ("clock", "feet")
"""The aids that are nothing but a picture of the readings; they open no panel."""

NARROW = 28
"""Columns of a picture beside the words of its step."""

WORDS = 38
"""Columns of what is said under a picture."""


class AidedScreen(StepScreen):
    """A step with a picture that grows with its readings, and with its numbers in metric or US units."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("units", "aid", at_once=True)

    def __init__(self) -> None:
        super().__init__()
        self._plain_drawing = self._untouched = False
        self._lines: tuple[str, ...] = ()
        self._drawn_at: tuple[int, str, str] | None = None

    @property
    def unit(self) -> str:
        """The unit that the step is shown in."""
        own = unit_of(self.controller.view, self.step)
        return units.counterpart(own, self.host.system) if own else ""

    @property
    def other_system(self) -> str:
        """The system of units on screen where it isn't the step's own, else empty."""
        return system_of(unit_of(self.controller.view, self.step), self.unit)

    def earlier_of(self, name: str | None, judged: Sequence[Judged]) -> Judged | None:
        """What an item read before, where the step is measured again: that of this name, else the one that decides."""
        worst = worst_of(judged, limit_of(self.controller.view, self.step))
        wanted = worst.name if name is None and worst is not None else name
        return earlier(self.controller.view, self.run, self.step).get(wanted) if wanted is not None else None

    def unit_key(self) -> tuple[str, ...]:
        """The key of the other units, where there are any."""
        own = unit_of(self.controller.view, self.step)
        return ("units",) if own and len({units.counterpart(own, s) for s in units.SYSTEMS}) > 1 else ()

    def action_units(self) -> None:
        """The other units."""
        if self.unit_key():
            self.host.system = "us" if self.host.system == "metric" else "metric"
            self.refresh_all()

    def begin_step(self) -> None:
        """A new step begins with its own picture; until something is read, the close-up says more."""
        super().begin_step()
        self._plain_drawing = self._untouched = self.untouched

    @property
    def untouched(self) -> bool:
        """True while nothing is read of a step whose part is seen from close by."""
        run = self.controller.state.run
        if run is None or reading_of(self.step) is None or not self.drawings.near:
            return False
        return not self.controller.state.readings(run.id, self.step.id)

    def project(self) -> None:
        """With the first reading its picture takes the place of the close-up."""
        if self._untouched and not self.untouched:
            self._plain_drawing = self._untouched = False

    def picture_lines(self) -> tuple[str, ...]:
        """The picture of the step as it stands; empty where it has none, or its drawing is looked at instead."""
        return () if self._plain_drawing else self.all_lines()

    def all_lines(self) -> tuple[str, ...]:
        """The picture of the step as it stands, empty where it has none; drawn anew only when something changed."""
        if aid_of(self.step) is None:
            return ()
        at = (self.controller.state.seq, self.step.id, self.unit)
        if at != self._drawn_at:
            from wizard.documents.charts.session_chart import RenderOptions
            from wizard.documents.charts.step_charts import step_chart

            options = RenderOptions(self.unit, plain(), NARROW)
            chart = step_chart(self.controller.view, self.run, self.step, options)
            words = (line for said in chart.words for line in textwrap.wrap(said, WORDS))
            self._lines = (*chart.lines, *words)
            self._drawn_at = at
        return self._lines

    def drawing_width(self) -> int:
        """Columns of the picture with its gap, else of the drawing."""
        lines = self.picture_lines()
        if not lines:
            return super().drawing_width()
        return max(map(len, lines)) + GAP

    @property
    def over(self) -> bool:
        """True while the picture takes the place of the drawings."""
        return bool(self.picture_lines())

    def show_drawing(self, box: DrawingPair, beside: bool) -> bool:
        """Show the picture, else the drawings."""
        lines = self.picture_lines()
        if not lines:
            return super().show_drawing(box, beside)
        box.show_lines(lines)
        return True

    @property
    def has_drawing(self) -> bool:
        """True where the step has its own drawing."""
        return bool(self.drawings.sizes)

    @property
    def sight(self) -> str:
        """The key that shows the picture."""
        aid = aid_of(self.step)
        return f"see-{aid}" if aid in SEEN else "see-swings"

    def seen_key(self) -> tuple[str, ...]:
        """The key of the picture, called by what it brings: the picture, or what the picture has taken the place
        of.
        """
        if not self.all_lines():
            return ()
        if self._hidden:
            return ("see-step" if self._picture and not self._plain_drawing else self.sight,)
        if not self.has_drawing:
            return ()
        return (self.sight if self._plain_drawing else "see-drawing",)

    def picture_key(self) -> tuple[str, ...]:
        """The key of the drawing where it isn't in sight, and the step has one."""
        if self.over and self.changing:
            return ("see-whole",)
        return super().picture_key() if self.has_drawing else ()

    def action_aid(self) -> None:
        """Show the picture, or what was there before it; the reading screen opens its stopwatch or counter."""
        key = self.seen_key()
        if not key:
            return
        if self._hidden:
            self._picture, self._plain_drawing = key != ("see-step",), False
        else:
            # Beside the words there may be room for one of the two alone; then the other takes their place.
            self._picture, self._plain_drawing = True, not self._plain_drawing
        self.refresh_all()

    def action_picture(self) -> None:
        """Show the drawing instead of the words, or the words again; in place of the picture, the whole machine."""
        if self._hidden and self.all_lines() and self.has_drawing:
            self._picture = self._plain_drawing = not (self._picture and self._plain_drawing)
            self.refresh_all()
        elif self.over and self.changing:
            self._picture = self._plain_drawing = self._whole = True
            self.refresh_all()
        elif self.has_drawing:
            super().action_picture()
