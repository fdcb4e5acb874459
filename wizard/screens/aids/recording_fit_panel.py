"""The fit of a recorded decay: its picture, what it means, where it begins and ends; Enter takes the number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static
from textual.worker import get_current_worker

from wizard.engine.messages.decay_record import DecayFit, decay_fit
from wizard.flow.model import Caution
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.charset import plain
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.reading import recording_lines
from wizard.screens.widgets.pictures.cautions import Cautions

if TYPE_CHECKING:
    from wizard.measure.vibration.decay_detection import Decay, DecayReport
    from wizard.measure.vibration.recording_file import Recording

MISSED = "Move the start (Left, Right) or the end (Up, Down), choose another column (Esc), or count by eye."


@dataclass(frozen=True, slots=True)
class Fitted:
    """What it ends with: the file, the SHA-256 of what was read of it, and what was fitted."""

    source: Path
    sha256: str
    found: DecayFit


class FitPanel(Panel[Fitted]):
    """Fits off the screen's thread; what comes late for an earlier stretch is dropped."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "rec-start", "rec-later", "rec-end", "rec-shorter", "rec-take"
    )
    AUTO_FOCUS = ""
    TITLE_TEXT = "The swings, fitted"
    ABOUT = (
        "The swings, fitted",
        "The marks are what was recorded, the dots the decay that fits it best. Look whether they lie on each other. "
        "Left and Right move where it begins, Up and Down where it ends, a quarter of a swing at a time; it is fitted "
        "anew each time. Enter takes the damping ratio as the reading; the file is kept. Esc: the columns.",
    )

    def __init__(
        self, source: Path, recording: Recording, column: int, verdict: Callable[[DecayFit], str],
        cautions: Sequence[Caution] = (),
    ) -> None:  # fmt: skip
        super().__init__()
        self._source, self._recording, self._column = source, recording, column
        self._verdict, self._cautions = verdict, cautions
        self._ticket, self._fitting = 0, False
        self._decay: Decay | None = None
        self._found: DecayFit | None = None

    def body(self) -> ComposeResult:
        """Warnings, what was fitted, the picture and its words."""
        yield Cautions(self._cautions)
        yield Static("", id="fit-says", markup=False)
        yield Static("", id="fit-drawn", markup=False)

    def on_mount(self) -> None:
        """Find the decay and fit it."""
        self.call_after_refresh(self._fit)

    def on_resize(self) -> None:
        """Lay it out anew."""
        if self.is_mounted:
            self.show()

    def here(self) -> tuple[str, ...]:
        """The keys that work now."""
        if self._fitting or self._decay is None:
            return ()
        return ("rec-take", "rec-start", "rec-end") if self._found else ("rec-start", "rec-end")

    def show(self) -> None:
        """The stretch, the picture, the words."""
        width = max(40, self.app.size.width - 4)
        says = f"{self._recording.name}, {self._recording.columns[self._column].name}"
        if self._fitting:
            says += ": fitting the swings ... Esc leaves it."
        elif self._decay is not None:
            time = self._recording.time
            says += f", from {time[self._decay.start]:.2f} s to {time[self._decay.end - 1]:.2f} s."
        self.query_one("#fit-says", Static).update("\n".join(wrapped(says, width)))
        lines = self._drawn(width) if self._found and not self._fitting else []
        self.query_one("#fit-drawn", Static).update("\n".join(lines))
        self.show_keys()

    def _drawn(self, width: int) -> list[str]:
        assert self._found is not None
        rows = max(6, min(18, self.app.size.height - 15 - 2 * len(self._cautions)))
        return recording_lines.drawn(self._found, self._verdict(self._found), width, rows, plain())

    def _fit(self) -> None:
        self._ticket, self._fitting, self._found = self._ticket + 1, True, None
        self.say("")
        self.show()
        self._told(self._decay, self._ticket)

    @work(thread=True, exclusive=True, group="fit")
    def _told(self, decay: Decay | None, ticket: int) -> None:
        from wizard.measure.vibration import decay_detection, swing_units

        report: DecayReport | str
        try:
            decay = decay or decay_detection.find(self._recording, self._column)
            report = decay_detection.decay_report(self._recording, self._column, decay)
            sure = self._recording.columns[self._column].sure
            if doubt := swing_units.doubt_of_size(report.quantity, report.fit.amplitude, sure):
                report = recording_lines.plainly(doubt)
        except ValueError as problem:
            report = recording_lines.plainly(str(problem))
        if self.is_mounted and not get_current_worker().is_cancelled:
            self.call_later(self._took, ticket, decay, report)

    def _took(self, ticket: int, decay: Decay | None, report: DecayReport | str) -> None:
        """The picture of the fit, or why there is none."""
        if ticket != self._ticket or not self.is_mounted:
            return
        self._fitting, self._decay = False, decay
        if not isinstance(report, str):
            self._found = decay_fit(self._recording, self._column, report)
        self.show()
        if isinstance(report, str):
            self.say(f"{report} {MISSED}" if decay else report)
        self.host.guard.arm()

    def action_shift(self, start: int, end: int) -> None:
        """Move where the fit begins or ends by a quarter of a swing."""
        if self._fitting or self._decay is None:
            return
        from wizard.measure.vibration import decay_detection

        moved = decay_detection.moved(self._recording, self._decay, start, end)
        if moved == self._decay:
            self.say("It can't go further: the recording ends there, or less than a swing would be left.")
            return
        self._decay = moved
        self._fit()

    def action_take(self) -> None:
        """Take what was fitted."""
        if self._found is not None and not self._fitting:
            self.dismiss(Fitted(self._source, self._recording.sha256, self._found))
