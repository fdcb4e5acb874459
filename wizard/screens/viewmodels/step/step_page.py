"""How a step is laid out: map, words, drawings and evidence, as much of them as leaves the words whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from wizard.screens.text.columns import Draw, StepLayout, fit
from wizard.screens.viewmodels.step.body_room import BodyRoom
from wizard.screens.viewmodels.step.step_columns import StepColumns, arrangements
from wizard.screens.viewmodels.step.step_drawings import GAP, Arrangement
from wizard.screens.viewmodels.step.step_sight import StepSight

LEAST = 40
"""Columns that the words keep where two drawings stand beside them."""


@dataclass(frozen=True, slots=True)
class StepPage:
    """The words' lines and their columns (``width``), the drawings that are shown, the columns of map and evidence."""

    layout: StepLayout
    width: int
    shown: Arrangement
    columns: StepColumns

    @property
    def map(self) -> int:
        """Columns of the map with its gap; 0 where it isn't shown."""
        return self.columns.map if self.layout.beside else 0


def step_page(
    draw: Draw,
    lines: Callable[[int], int],
    room: BodyRoom,
    sight: StepSight,
    mapped: bool,
    narrowest: int = 0,
) -> StepPage:
    """Lay the words out; on their left the map, on their right the evidence, under the close-up and the whole machine
    if there is room for both, else under one.

    ``lines`` gives the lines that the words may take in so many columns; ``mapped``: there is a map; ``narrowest``:
    columns that the words can't do without.
    """
    one = sight.drawings.one(sight.whole)
    for tried in arrangements(room.columns, mapped):
        left = room.columns - tried.map
        both = sight.drawings.both(left - LEAST - GAP, room.lines) if room.wide and not sight.lines else None
        for shown in (both, one):
            if shown is not None:
                beside = sight.columns(shown)
                beside = max(beside, tried.evidence + GAP) if room.wide else beside
                beside = 0 if left - beside < max(LEAST * bool(tried.map), narrowest) else beside
                layout = fit(draw, left, lines(left - beside), beside)
                if layout.beside:
                    return StepPage(layout, left - beside, shown, tried)
    return StepPage(layout, room.columns, one, tried)
