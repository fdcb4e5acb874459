"""What the screens of measured and computed steps share: a chart in place of the drawing, and the units of a key."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import BindingType

from wizard.measure.quantities.units import UnitSystem
from wizard.screens.job.step_screen import StepScreen
from wizard.screens.layout import key_table


class AidedScreen(StepScreen):
    """A step with a chart that grows with its readings, and with its numbers in metric or US units."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("units", "aid", at_once=True)

    @property
    def unit(self) -> str:
        """The unit that the step is shown in."""
        return self.current.unit(self.host.system)

    def picture_keys(self, chart: bool = True) -> tuple[str, ...]:
        """The keys of chart and drawing, and that of the other units where there are any."""
        shown = self.sight.chart_key if chart else ()
        return (*shown, *self.sight.picture_key, *(("units",) if self.current.convertible else ()))

    def action_units(self) -> None:
        """The other units."""
        if self.current.convertible:
            self.host.system = UnitSystem.US if self.host.system is UnitSystem.METRIC else UnitSystem.METRIC
            self.refresh_all()

    def action_aid(self) -> None:
        """Show the chart, or what was there before it; the reading screen opens its stopwatch or counter."""
        self.look(self.sight.charted())
