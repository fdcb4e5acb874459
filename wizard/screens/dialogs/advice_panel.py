"""What is advised: every open inspection with its minutes and what it saves, and what is owed before a part goes
in.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.clipping import cut
from wizard.screens.text.shared_sentences import NO_ADVICE
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.faults.advice_rows import Ahead, InspectionRow, inspection_rows, sheet_lines
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.faults.ahead_worker import compute_ahead

RIGHT = 42
"""Columns of what stands behind a title, with its gap."""

STYLES = {"worth it": "$success", "only confirms": "$warning"}


class AdvicePanel(Panel[cmd.Command]):
    """Read it, and from the job map open what is marked."""

    ABOUT = (
        "What is advised",
        "Every open inspection, best first: the minutes it takes with its way there, the minutes that it is expected "
        "to save in wrong repairs and second visits, and why. 'With others' is worth it beside others that the same "
        "way in opens. From the job map, Enter opens the marked one; what it needs is asked first. The flow's own "
        "order stays the default, and is never wrong to follow.",
    )
    TITLE_TEXT = "What is advised"

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._controller = controller
        self._rows: tuple[InspectionRow, ...] = ()
        self._ahead: Ahead | None = None

    def here(self) -> tuple[str, ...]:
        """On the map the marked one can be opened."""
        return ("cursor", "open") if self._at_map else ("cursor",)

    @property
    def _at_map(self) -> bool:
        return self._controller.state.run is None

    def body(self) -> ComposeResult:
        """Where things stand, the inspections, why the marked one."""
        yield Static("Weighing what was found ...", id="advice-says")
        yield PickList(id="advice-rows")
        yield Static(id="advice-why")

    def on_mount(self) -> None:
        """Have it computed."""
        super().on_mount()
        self.query_one(PickList).focus()
        compute_ahead(self, self._controller.view, self._take)

    def _take(self, found: Ahead) -> None:
        """Fill the sheet, unless the job moved on meanwhile."""
        flow, state = self._controller.flow, self._controller.state
        if found.seq != state.seq or not self.is_mounted:
            return
        self._ahead = found
        width, says = max(30, self.app.size.width - 4), self.query_one("#advice-says", Static)
        if found.counsel is None:
            says.update(NO_ADVICE)
            return
        lines = [line for text in sheet_lines(flow, found.counsel) for line in wrapped(text, width)]
        says.update(Content("\n".join(lines)).stylize("bold", 0, len(lines[0])))
        self._rows = inspection_rows(flow, found.counsel)
        marked = next((n for n, row in enumerate(self._rows) if row.inspection == found.coming.target), 0)
        self.query_one(PickList).show(row_lines(self._rows, width - 2), marked)
        self._why()

    def on_resize(self) -> None:
        """Lay it out anew, the mark where it was."""
        if self.is_mounted and self._ahead is not None:
            marked = self.query_one(PickList).index
            self._take(self._ahead)
            self.query_one(PickList).show(self.query_one(PickList).rows, marked)
            self._why()

    def _why(self) -> None:
        index = self.query_one(PickList).index
        row = self._rows[index] if index < len(self._rows) else None
        text = row.why if row else "No inspection is open that could tell more."
        self.query_one("#advice-why", Static).update(
            Content("\n".join(wrapped(text, self.app.size.width - 4)))
        )

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        self._why()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Open the marked one; while a step is on screen it is only read."""
        if event.index >= len(self._rows):
            return
        if not self._at_map:
            self.say("A step is on screen. Go to the job map first (Esc, then m).")
            return
        self.dismiss(cmd.OpenInspection(self._rows[event.index].inspection))


def row_lines(rows: Sequence[InspectionRow], width: int) -> list[Content]:
    """The inspections: title, minutes in total, minutes saved, what it is worth, in narrow columns."""
    room = max(12, min(width - RIGHT, max((len(row.title) for row in rows), default=0)))
    return [_row_line(row, room) for row in rows]


def _row_line(row: InspectionRow, room: int) -> Content:
    right = f"{row.minutes:>4.0f} min   saves {row.saves:>3.0f}   {row.worth:<17}"
    return Content(f"{cut(row.title, room):<{room}}  ").append(
        Content.styled(right, STYLES.get(row.worth, ""))
    )
