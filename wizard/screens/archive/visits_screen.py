"""The jobs at one machine side by side; a digit goes through one again, Left and Right bring others into sight."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from wizard.archive.visits.machine_visit import MachineVisit
from wizard.domain.counting import plural
from wizard.foreign.harmless import harmless
from wizard.screens.archive import visits_lines as lines
from wizard.screens.layout import key_table
from wizard.screens.text.clipping import cut
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine


class VisitsScreen(Screen[None]):
    """Draws the jobs; which of them are in sight is all that it holds."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("visit-later", "visit-earlier", "back"),
        *(Binding(str(n), f"read({n})", show=False) for n in range(1, lines.MOST_COLUMNS + 1)),
    ]
    HERE = ("visit-open", "scroll", "visit-later")
    EVERYWHERE = ("back", "help", "theme", "leave")
    ABOUT = (
        "One machine",
        "The jobs at one machine side by side, the oldest on the left: what was complained of, found, measured, "
        "repaired and proved. A machine is its maker and serial number. A reading has changed where the difference "
        "is more than is uncertain in the two. What a job doesn't say may not have been asked.",
    )
    AUTO_FOCUS = "VerticalScroll"

    def __init__(self, opener: Callable[[str], None], machine: str, visits: Sequence[MachineVisit]) -> None:
        super().__init__()
        self._opener, self._machine, self._visits = opener, machine, tuple(visits)
        self._last = len(self._visits)

    def compose(self) -> ComposeResult:
        """Which machine; the heads of the columns; what they hold; message, keys."""
        yield Static(id="visits-head")
        yield Static(id="visits-days")
        with VerticalScroll(id="visits-scroll"):
            yield Static(id="visits-text")
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def here(self) -> tuple[str, ...]:
        """What works with the jobs in sight."""
        return (f"visit-open:{len(self.in_sight)}", *self.HERE[1:])

    def everywhere(self) -> tuple[str, ...]:
        """Back, help, theme, leave."""
        return self.EVERYWHERE

    @property
    def in_sight(self) -> tuple[MachineVisit, ...]:
        """The jobs that have room."""
        return self._visits[max(0, self._last - lines.in_sight(self.size.width - 2)) : self._last]

    def on_mount(self) -> None:
        """Draw it."""
        self.draw()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.draw()

    def draw(self) -> None:
        """Everything."""
        if not self.is_mounted:
            return
        width, seen, count = self.size.width - 2, self.in_sight, len(self._visits)
        first = self._visits.index(seen[0]) + 1 if seen else 0
        which = f", {first} to {self._last} in sight" if len(seen) < count else ""
        head = cut(harmless(f"{self._machine}: {plural(count, 'job')}{which}"), width - 13)
        self.query_one("#visits-head", Static).update(
            Content.styled("One machine", "bold $primary").append(f"  {head}")
        )
        self.query_one("#visits-days", Static).update(lines.days_line(seen, width - 1))
        self.query_one("#visits-text", Static).update(Content("\n").join(lines.text_lines(seen, width - 1)))
        self.query_one(KeyBar).show(key_table.labels(self.here()), key_table.labels(self.everywhere()))

    def action_shift(self, by: int) -> None:
        """Bring a later job into sight, or an earlier one."""
        least = min(len(self._visits), lines.in_sight(self.size.width - 2))
        self._last = min(len(self._visits), max(least, self._last + by))
        self.draw()

    def action_read(self, digit: int) -> None:
        """Go through the job of a column again."""
        if digit <= len(self.in_sight):
            self.query_one(MessageLine).say("Opening ...")
            self._opener(self.in_sight[digit - 1].session)

    def on_screen_resume(self) -> None:
        """Nothing is opening any more."""
        self.query_one(MessageLine).say("")

    def action_back(self) -> None:
        """To the list."""
        self.dismiss()
