"""The table of what was read over the ruler of its limit, in as many lines as there are."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical

from wizard.engine.measuring import judging
from wizard.screens.viewmodels.reading.step_readings import StepReadings
from wizard.screens.widgets.readings.readings_table import ReadingsTable, lines_of, width_of
from wizard.screens.widgets.readings.ruler_box import WIDEST, Ruler, room_of


def ruled(readings: StepReadings, width: int) -> int:
    """Lines of the ruler in so many columns; 0 where the step has no limit."""
    limit, earlier = readings.current.limit, readings.earlier is not None
    return room_of(limit, readings.unit, width, bool(readings.records), earlier)


def table_lines(readings: StepReadings) -> int:
    """Lines of the whole table, its heading included."""
    return lines_of(readings.reading, readings.current.view.state.facts)


def table_width(readings: StepReadings) -> int:
    """Columns of the whole table; 0 where one number is asked for."""
    facts = readings.current.view.state.facts
    return width_of(readings.reading, facts) if len(judging.slots(readings.reading, facts)) > 1 else 0


class ReadingsBoard(Vertical):
    """Table and ruler. The table goes first where there is little room, since the ruler has the limit's source."""

    DEFAULT_CSS = """
    ReadingsBoard { height: auto; width: 1fr; }
    """

    def compose(self) -> ComposeResult:
        """The table over the ruler."""
        yield ReadingsTable(id="repeats")
        yield Ruler(id="ruler")

    def show(self, readings: StepReadings, width: int, lines: int) -> None:
        """Show both in so many columns and lines."""
        table, ruler = self.query_one(ReadingsTable), self.query_one(Ruler)
        facts, judged, whole = (
            readings.current.view.state.facts,
            readings.judged,
            table_lines(readings),
        )
        room = lines - (ruled(readings, width) or 1)
        shown = readings.as_shown
        table.show(shown, facts, readings.records, judged, readings.slot, max(2, room), width)
        table.display = room >= 2 and readings.places > 1
        spare = int(room > whole or not table.display)
        # Without the table the line over the ruler is the one under the field.
        ruler.styles.margin = (spare if table.display else 0, 0, 0, 0)
        left = lines - spare - (min(whole, max(2, room)) if table.display else 0)
        limit = readings.current.limit
        ruler.show(limit, judged, readings.unit, min(width, WIDEST), max(3, left), readings.earlier)
