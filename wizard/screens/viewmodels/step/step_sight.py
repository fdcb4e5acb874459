"""What of a step is in sight, and what its two keys of pictures change: its words, its drawings, its chart."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wizard.domain.vocabulary import Aid
from wizard.flow.model import aid_of
from wizard.screens.viewmodels.step.current_step import CurrentStep
from wizard.screens.viewmodels.step.step_drawings import GAP, Arrangement, StepDrawings

SEEN = (Aid.CLOCK, Aid.FEET)
"""The aids that are nothing but a chart of the readings; they open no panel."""


NONE, NOTHING = StepDrawings(None, None, {}), Arrangement()
"""No drawings, and none shown."""


@dataclass(frozen=True, slots=True)
class StepSight:
    """The pictures of a step, and which of them is looked at.

    ``chart`` are the lines that its readings give, empty where they give none; ``aid`` names it. ``shown`` are the
    drawings of the last laying out, and ``hidden`` says that there was no room for any picture beside the words.
    ``alone``: a picture stands in place of the words. ``whole``: the whole machine rather than its part. ``own``: the
    step's own drawing rather than the chart; ``unread``: so only until something is read.
    """

    drawings: StepDrawings = NONE
    chart: tuple[str, ...] = ()
    aid: Aid | None = None
    shown: Arrangement = NOTHING
    hidden: bool = False
    alone: bool = False
    whole: bool = False
    own: bool = False
    unread: bool = False

    @property
    def lines(self) -> tuple[str, ...]:
        """The chart where it takes the place of the drawings, else none."""
        return () if self.own else self.chart

    @property
    def changing(self) -> bool:
        """Whether one of two drawings stands beside the words, and the other can take its place."""
        return not self.hidden and self.drawings.pair and len(self.shown.drawings) == 1

    def columns(self, shown: Arrangement) -> int:
        """Columns of the chart with its gap, else of these drawings; 0 where there is neither."""
        if self.lines:
            return max(map(len, self.lines)) + GAP
        return shown.columns + GAP if shown.drawings else 0

    def standing(self, beside: bool, columns: int, lines: int) -> Arrangement:
        """The drawings that are drawn: those of the laying out, in place of the words all there is room for."""
        return self.shown if beside else self.drawings.both(columns, lines) or self.shown

    def laid(self, shown: Arrangement, beside: bool) -> StepSight:
        """Return it after a laying out with these drawings: beside the words, or not."""
        hidden = bool(self.lines or shown.drawings) and not beside
        return replace(self, shown=shown, hidden=hidden, alone=self.alone and hidden)

    @property
    def picture_key(self) -> tuple[str, ...]:
        """The key of the drawing that isn't in sight."""
        if self.changing:
            return ("see-whole",) if self.lines or not self.whole else ("see-closeup",)
        return ("picture",) if self.hidden and self.drawings.sizes else ()

    @property
    def chart_key(self) -> tuple[str, ...]:
        """The key of the chart, called by what it brings: the chart, or what it has taken the place of."""
        if not self.chart:
            return ()
        to_chart = f"see-{self.aid}" if self.aid in SEEN else "see-swings"
        if self.hidden:
            return ("see-step" if self.alone and not self.own else to_chart,)
        if not self.drawings.sizes:
            return ()
        return (to_chart if self.own else "see-drawing",)

    def turned(self) -> StepSight:
        """Return it after Tab: the drawing instead of the words, or the words again; the whole machine, or its part."""
        if not self.drawings.sizes:
            return self
        if self.hidden and self.chart:
            away = not (self.alone and self.own)
            return replace(self, alone=away, own=away)
        if self.lines and self.changing:
            return replace(self, alone=True, own=True, whole=True)
        if self.hidden:
            return replace(self, alone=not self.alone, whole=False)
        if self.changing:
            # The whole machine may be too wide beside the words; then it takes their place, with the close-up.
            return replace(self, alone=not self.whole, whole=not self.whole)
        return self

    def charted(self) -> StepSight:
        """Return it after the key of the chart: the chart, or what was there before it."""
        if not self.chart_key:
            return self
        if self.hidden:
            return replace(self, alone=self.chart_key != ("see-step",), own=False)
        # Beside the words there may be room for one of the two alone; then the other takes their place.
        return replace(self, alone=True, own=not self.own)


def sight_of(current: CurrentStep, chart: tuple[str, ...], before: StepSight | None = None) -> StepSight:
    """Return what is in sight of a step with this chart.

    A step that is new (no ``before``) begins with its own words and its close-up: its warnings must not lie under the
    picture of the last one. With its first reading its chart takes the place of the close-up.
    """
    untouched, aid = current.untouched, aid_of(current.step)
    if before is None:
        return StepSight(current.drawings, chart, aid, own=untouched, unread=untouched)
    first = before.unread and not untouched
    own, unread = before.own and not first, before.unread and untouched
    return replace(before, drawings=current.drawings, chart=chart, aid=aid, own=own, unread=unread)
