"""The field of a reading as its keys see it: the number asked for now, what stands in it, what is asked behind it."""

from __future__ import annotations

from wizard.engine.measuring import judging
from wizard.screens.job.measured_base import AidedScreen
from wizard.screens.viewmodels.reading.step_readings import FurtherReading, StepReadings, step_readings
from wizard.screens.widgets.readings.entry_row import EntryRow


class NumberField(AidedScreen):
    """A screen on which numbers are typed, one after the other."""

    def __init__(self) -> None:
        super().__init__()
        self._more: FurtherReading | None = None

    @property
    def readings(self) -> StepReadings:
        """What was read of the step on screen, and what is asked now."""
        return step_readings(self.current, self.host.system, self._more)

    @property
    def typed(self) -> str:
        """What stands in the field, kept if something is asked again before it is taken."""
        rows = self.query(EntryRow)  # None yet, while the screen is being put together.
        return rows.first().typed if rows and self.readings.slot is not None else ""

    @property
    def takes_text(self) -> bool:
        """True while what is typed goes to the field, though it may not have the focus yet."""
        return self.readings.slot is not None and not self.sight.alone

    @property
    def takes_more(self) -> bool:
        """True where another number is asked behind the one in the field."""
        readings = self.readings
        facts, reading = readings.current.view.state.facts, readings.reading
        return readings.slot is not None and len(judging.missing(reading, facts, readings.records)) > 1
