"""A stopwatch with big figures: space or Enter starts and stops it; Enter then puts the time into the field."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Digits, Static

from wizard.flow.model import Caution
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.charset import plain
from wizard.screens.viewmodels.reading.timers import Stopwatch, watch_face
from wizard.screens.widgets.pictures.cautions import Cautions

FACE = 0.2
"""Seconds between two looks at a running watch: a moving picture costs battery."""


class StopwatchPanel(Panel[str]):
    """Ends with the seconds, to a tenth, as a text."""

    BINDINGS = key_table.bindings("startstop", "take", at_once=True)
    TITLE_TEXT = "Stopwatch"
    ABOUT = (
        "Stopwatch",
        "Space or Enter starts it, and stops it. Once it stands, Enter puts the time into the field, and Space starts "
        "again from nothing. Esc goes back with nothing put in.",
    )

    def __init__(self, cautions: Sequence[Caution] = ()) -> None:
        super().__init__()
        self.timed, self._cautions = Stopwatch(), cautions

    def body(self) -> ComposeResult:
        """The step's warnings, the figures, and what the keys do now."""
        yield Cautions(self._cautions)
        yield Static(watch_face(0.0), id="face") if plain() else Digits(watch_face(0.0), id="face")
        yield Static("", id="says", classes="says", markup=False)

    def on_mount(self) -> None:
        """Look at the watch now and then while it runs."""
        self.set_interval(FACE, self._tick)
        self.show()

    def here(self) -> tuple[str, ...]:
        """Take it, once it stands."""
        return ("startstop", "take") if self.timed.ended is not None else ("startstop",)

    @property
    def timing(self) -> bool:
        """True while it runs: the key that stops it is never too early."""
        return self.timed.running

    def _tick(self) -> None:
        if self.timed.running:
            self.show()

    def show(self) -> None:
        """The figures and the words."""
        face = self.query_one("#face")
        assert isinstance(face, Digits | Static)
        face.update(watch_face(self.timed.seconds(self.host.clock.mono())))
        says = "It runs. Space or Enter stops it." if self.timed.running else "Space or Enter starts it."
        if self.timed.ended is not None:
            says = "Enter puts it into the field. Space starts again from nothing."
        self.query_one("#says", Static).update(says)
        self.show_keys()

    def action_startstop(self) -> None:
        """Start, stop, or start again."""
        self.timed = self.timed.press(self.host.clock.mono())
        self.show()

    def action_take(self) -> None:
        """Start or stop; once it stands, take it."""
        if self.timed.ended is None:
            self.action_startstop()
            return
        if self.timed.ended is not None:
            self.dismiss(f"{self.timed.seconds(0.0):.1f} s")
