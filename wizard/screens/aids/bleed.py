"""How long a charged bus still needs: voltages read one after the other, timed by the clock; the wait that is
left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from textual.app import ComposeResult
from textual.widgets import Input, Static

from wizard.flow.model import Caution
from wizard.measure.quantities import units
from wizard.screens.layout.panel import Panel
from wizard.screens.text.shared_sentences import UNSIGNED_VOLTAGE, VOLTAGE_FIRST
from wizard.screens.viewmodels.reading.timers import Bleed, bleeding
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.pictures.cautions import Cautions

_SHOWN = 6


class BleedPanel(Panel[str]):
    """Ends with the last voltage, as a text for the field; the reading is still to be taken there."""

    HERE = ("judge",)
    TITLE_TEXT = "How long until it is safe"
    ABOUT = (
        "How long until it is safe",
        "Type the voltage and press Enter; a minute later do it again. From the fall between the two the wait "
        "left is computed and counted down. With one reading, the parts tell as much: type 220 kohm 470 uF "
        "for the resistor and its capacitor. It is no proof: only a reading is. Enter on an empty field puts "
        "the last voltage into the field of the step. Esc goes back.",
    )

    def __init__(self, safe: float, cautions: Sequence[Caution] = ()) -> None:
        super().__init__()
        self._cautions = cautions
        self.bleed, self._sent = Bleed(safe), ""

    def body(self) -> ComposeResult:
        """The step's warnings, what to do, the readings so far, the field."""
        yield Cautions(self._cautions)
        yield Static("", id="says", classes="says", markup=False)
        yield Static("", id="read", markup=False)
        yield EntryField(id="volts")

    def on_mount(self) -> None:
        """Ready to type; the wait is counted down."""
        self.query_one(EntryField).focus()
        self.show()
        self.set_interval(1.0, self.tell)

    def show(self) -> None:
        """The readings with their times, and what follows from them."""
        began = self.bleed.read[0][0] if self.bleed.read else 0.0
        rows = [f"{at - began:5.0f} s   {units.text(volts, 'V')}" for at, volts in self.bleed.read]
        self.query_one("#read", Static).update("\n".join([*rows[-_SHOWN:], ""]))
        self.tell()

    def tell(self) -> None:
        """What follows from the readings, at this moment."""
        self.query_one("#says", Static).update(self.bleed.words(self.host.clock.mono()))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """One more voltage; with nothing typed, done."""
        field = self.query_one(EntryField)
        text = event.value.strip()
        if not text:
            if self.bleed.read:
                self.dismiss(units.text(self.bleed.read[-1][1], "V"))
            else:
                self.say(VOLTAGE_FIRST)
            return
        try:
            volts = units.parse(text, "V")
        except ValueError as problem:
            if not self.parts(text):
                self.say(str(problem).removeprefix("text: "))
            return
        if volts < 0:
            self.say(UNSIGNED_VOLTAGE)
            return
        self.bleed = self.bleed.add(self.host.clock.mono(), volts)
        self.say("")
        field.spend(event.value)
        self.show()

    def parts(self, text: str) -> bool:
        """Take '220 kohm 470 uF' for what bleeds it; False where it isn't that."""
        try:
            self.bleed = replace(self.bleed, parts=bleeding(text))
        except ValueError:
            return False
        self.query_one(EntryField).spend(text)
        self.show()
        self.say("" if self.bleed.read else "Now the voltage: the wait is computed from it.")
        return True
