"""What is asked now, and the field for its number; or, once all were read, the verdict and Enter."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from wizard.measure.quantities import units, written_units
from wizard.screens.text.verdict_signs import STYLES
from wizard.screens.viewmodels.reading.reading_words import sign_words, verdict_text
from wizard.screens.viewmodels.reading.step_readings import StepReadings
from wizard.screens.widgets.entry.field import EntryField


class EntryRow(Horizontal):
    """A row with one field. ``sent`` is the text that was handed over last: what is typed behind it stays."""

    DEFAULT_CSS = """
    EntryRow { height: 1; margin-bottom: 1; }
    EntryRow #slot { width: auto; }
    EntryRow #field { width: 18; }
    EntryRow #unit { width: auto; margin-left: 1; }
    """

    def __init__(self) -> None:
        super().__init__(id="entry")
        self.sent = ""
        self._at: Hashable = None

    def compose(self) -> ComposeResult:
        """What is asked, the field, the unit."""
        yield Static(id="slot")
        yield EntryField(id="field", keys="*=")
        yield Static(id="unit")

    @property
    def typed(self) -> str:
        """What stands in the field."""
        fields = self.query(EntryField)  # None yet, while the screen is being put together.
        return fields.first().value if fields else ""

    def show(self, readings: StepReadings, draft: Callable[[], str]) -> None:
        """Ask for the number asked now, its field begun with the ``draft`` of it; or show the verdict."""
        field = self.query_one(EntryField)
        field.display = readings.slot is not None
        self.query_one("#unit").display = readings.slot is not None
        if readings.slot is None:
            self._at = None  # What was taken goes from the field: taken back, its number is typed anew.
            self.screen.set_focus(None)
            self.query_one("#slot", Static).update(verdict_line(readings))
            return
        symbol = units.find(readings.unit).symbol
        self.query_one("#slot", Static).update(Content.styled(f"{readings.asks}  ", "bold"))
        unit = "" if written_units.unwritten(symbol) else symbol
        self.query_one("#unit", Static).update(
            "  ".join(text for text in (unit, sign_words(readings)) if text)
        )
        at = (readings.current.run.id, readings.step.id, readings.slot)
        if at != self._at:
            self._at = at
            field.spend(self.sent, draft())
        field.focus()

    def clear(self) -> None:
        """Empty the field."""
        self.query_one(EntryField).value = ""

    def refused(self) -> None:
        """What was handed over was not taken: it stays in sight, without what was typed behind it meanwhile, and goes
        with the first key that is typed; the arrows keep it to be mended.
        """
        field = self.query_one(EntryField)
        field.value = self.sent
        field.select_all()

    def put(self, text: str) -> None:
        """Put what an aid ended with into the field; Enter there takes it."""
        field = self.query_one(EntryField)
        field.value, field.cursor_position = text, len(text)
        field.focus()

    def catch(self, event: events.Key) -> None:
        """Put a character typed before the field had the focus into it, so that no half of a number is lost."""
        field = self.query_one(EntryField)
        if event.is_printable and event.character and field.display and not field.has_focus:
            field.focus()
            field.take(event.character)
            event.stop()

    def on_descendant_focus(self) -> None:
        """A field that is no longer shown isn't typed in: a focus that was asked for before may come late."""
        if not self.query_one(EntryField).display:
            self.screen.set_focus(None)


def verdict_line(readings: StepReadings) -> Content:
    """The verdict of all readings, before the Enter key that takes it; with it what no table or ruler shows."""
    key = Content.styled(" Enter ", "bold $key on $key-ground")
    style = f"bold {STYLES[readings.outcome.answer]}"
    return key.append("  ").append(Content.styled(f"{verdict_text(readings)}: go on", style))
