"""A counter of swings: a tap at the top of each gives their number, their time, and with their heights the
damping.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Digits, Input, Static

from wizard.flow.model import Caution
from wizard.measure.quantities import units
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.charset import plain
from wizard.screens.text.shared_sentences import TWO_TAPS
from wizard.screens.viewmodels.reading.swing_heights import as_read, heights
from wizard.screens.viewmodels.reading.timers import TAPPING, Taps
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.pictures.cautions import Cautions


class TapsPanel(Panel[str]):
    """Ends with the mean time of a swing, or with how many there were (``counting``), as a text."""

    BINDINGS = key_table.bindings("tap", "afresh", "heights", "enter-taps")
    AUTO_FOCUS = ""
    TITLE_TEXT = "Tap each swing"
    ABOUT = (
        "Tap each swing",
        "Tap Space each time the tub is at its highest. Enter puts the time of one swing into the field. 0 begins "
        "again. Tab goes to the heights: type those of the swings, first to last, and Enter shows the damping. Between "
        "two stand spaces, a semicolon, or a comma and a space; a unit may stand after each, or once at the end.",
    )

    def __init__(
        self,
        counting: bool = False,
        unit: str = "mm",
        cautions: Sequence[Caution] = (),
        own: float = TAPPING,
    ) -> None:
        super().__init__()
        self._own = own
        self._cautions = cautions
        self.taps, self._counting, self._unit = Taps(), counting, unit

    def body(self) -> ComposeResult:
        """The step's warnings, the count in big figures, the words, the heights, their picture."""
        yield Cautions(self._cautions)
        yield Static("0", id="face") if plain() else Digits("0", id="face")
        yield Static("", id="says", classes="says", markup=False)
        yield Static(
            f"Heights of the swings, first to last, in {self._unit} (Tab; may be left out):", id="ask"
        )
        yield EntryField(id="heights")
        yield Static("", id="decay", markup=False)

    def on_mount(self) -> None:
        """Taps come first: the field waits for Tab."""
        self.set_focus(None)
        self.show()

    def here(self) -> tuple[str, ...]:
        """What works now."""
        typing = self.focused is not None
        return ("damping", "heights") if typing else ("tap", "enter-taps", "afresh", "heights")

    def show(self) -> None:
        """The count and the words."""
        face = self.query_one("#face")
        assert isinstance(face, Digits | Static)
        face.update(str(self.taps.swings))
        self.query_one("#says", Static).update("\n".join(self.taps.words(self._own)))
        self.show_keys()

    def action_tap(self) -> None:
        """The tub is at its highest."""
        self.taps = self.taps.tap(self.host.clock.mono())
        self.show()

    def action_afresh(self) -> None:
        """Begin again."""
        self.taps = Taps()
        self.show()

    def action_heights(self) -> None:
        """To the heights, or back to the taps."""
        field = self.query_one(EntryField)
        self.set_focus(None if field.has_focus else field)
        self.show_keys()

    def action_enter(self) -> None:
        """Take what was tapped."""
        if not self.taps.swings:
            self.say(f"Tap {TWO_TAPS}")
        else:
            self.dismiss(str(self.taps.swings) if self._counting else f"{self.taps.period:.3f} s")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Show the damping that the heights mean; what can't be read stays in the field."""
        from wizard.documents.charts import decay_chart

        decay = self.query_one("#decay", Static)
        period, off = self.taps.period or None, self.taps.off(self._own)
        try:
            found = heights(event.value, self._unit)
            chart = decay_chart.peaks(found, period, self._unit, rows=6, plain=plain(), period_u=off)
        except ValueError as problem:
            decay.update("")
            sentence = str(problem).partition(": ")[2] or str(problem)
            self.say(sentence[:1].upper() + sentence[1:])
            return
        self.say("")
        decay.update(Content("\n".join([f"Read as {as_read(found, self._unit)}.", *chart.rows])))


def counting(unit: str) -> bool:
    """True where the step counts swings rather than timing them."""
    return units.dimension(unit) == "count"
