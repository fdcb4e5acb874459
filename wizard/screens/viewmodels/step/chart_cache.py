"""The chart that a step's readings give, as lines; drawn anew only when something changed."""

from __future__ import annotations

import textwrap

from wizard.flow.model import aid_of
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.text.charset import plain
from wizard.screens.viewmodels.step.current_step import CurrentStep

NARROW = 28
"""Columns of a chart beside the words of its step."""

WORDS = 38
"""Columns of what is said under a chart."""


class ChartCache:
    """Holds the lines of one chart: of this event's state, this step, in this unit."""

    def __init__(self) -> None:
        self._lines: tuple[str, ...] = ()
        self._drawn_at: tuple[int, str, str] | None = None

    def lines(self, current: CurrentStep, system: UnitSystem) -> tuple[str, ...]:
        """Return the chart of a step as it stands, in a system of units; empty where it has none."""
        if aid_of(current.step) is None:
            return ()
        unit = current.unit(system)
        at = (current.view.state.seq, current.step.id, unit)
        if at != self._drawn_at:
            # Late: only a step with an aid has a chart.
            from wizard.documents.charts.session_chart import RenderOptions
            from wizard.documents.charts.step_charts import step_chart

            options = RenderOptions(unit, plain(), NARROW)
            chart = step_chart(current.view, current.run, current.step, options)
            words = (line for sentence in chart.words for line in textwrap.wrap(sentence, WORDS))
            self._lines = (*chart.lines, *words)
            self._drawn_at = at
        return self._lines
