"""What is advised: every open inspection with its minutes and what it saves, and what is owed before a part goes in."""

from __future__ import annotations

from textual import work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.screens.desk import Desk
from wizard.screens.models.advice import Ahead, CheckRow, ahead, check_rows, sheet_lines
from wizard.screens.models.lines import cut
from wizard.screens.panel import Panel
from wizard.screens.widgets.picklist import PickList
from wizard.screens.widgets.wrapping import wrapped

STYLES = {"worth it": "$success", "only confirms": "$warning"}


class AdvicePanel(Panel[cmd.Command]):
    """Read it, and from the job map open what is marked."""

    ABOUT = (
        "What is advised",
        "Every open inspection, best first: the minutes it takes with its way there, the minutes that it is expected "
        "to save in wrong repairs and second visits, and why. 'With others' is worth it beside others that the same "
        "way in opens. From the job map, Enter opens the marked one through its gates. The flow's own order stays the "
        "default, and is never wrong to follow.",
    )
    TITLE_TEXT = "What is advised"

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._rows: tuple[CheckRow, ...] = ()

    def here(self) -> tuple[str, ...]:
        """On the map the marked one can be opened."""
        return ("cursor", "open") if self._at_map else ("cursor",)

    @property
    def _at_map(self) -> bool:
        return self._desk.state.run is None

    def body(self) -> ComposeResult:
        """Where things stand, the inspections, why the marked one."""
        yield Static("Weighing what was found ...", id="advice-says")
        yield PickList(id="advice-rows")
        yield Static(id="advice-why")

    def on_mount(self) -> None:
        """Have it reckoned."""
        super().on_mount()
        self.query_one(PickList).focus()
        self._reckon(self._desk.flow, self._desk.state)

    @work(thread=True, exclusive=True, group="advice")
    def _reckon(self, flow: Flow, state: State) -> None:
        found = ahead(flow, state)
        if self.is_mounted and not get_current_worker().is_cancelled:
            self.call_later(self._take, found)

    def _take(self, found: Ahead) -> None:
        """Fill the sheet, unless the job moved on meanwhile."""
        flow, state = self._desk.flow, self._desk.state
        if found.seq != state.seq or not self.is_mounted:
            return
        width, says = max(30, self.app.size.width - 4), self.query_one("#advice-says", Static)
        if found.counsel is None:
            says.update("Nothing is advised now: advice is for the search, until what it is was decided.")
            return
        lines = [line for text in sheet_lines(flow, state, found.counsel) for line in wrapped(text, width)]
        says.update(Content("\n".join(lines)).stylize("bold", 0, len(lines[0])))
        self._rows = check_rows(flow, found.counsel)
        marked = next((n for n, row in enumerate(self._rows) if row.inspection == found.coming.target), 0)
        self.query_one(PickList).show([row_line(row, width - 2) for row in self._rows], marked)
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
        """Open the marked one, or what is owed before it; while a step is on screen it is only read."""
        if self.host.guard.early() or event.index >= len(self._rows):
            return
        if not self._at_map:
            self.say("A step is on screen. Go to the job map first (Esc, then m).")
            return
        name = self._rows[event.index].inspection
        self.dismiss(cmd.Open(derive.owed_first(self._desk.flow, self._desk.state, name) or name))


def row_line(row: CheckRow, width: int) -> Content:
    """One inspection: title, minutes all told, minutes saved, what it is worth."""
    right = f"{row.minutes:>4.0f} min   saves {row.saves:>3.0f}   {row.worth:<17}"
    room = max(12, width - len(right) - 2)
    return Content(f"{cut(row.title, room):<{room}}  ").append(
        Content.styled(right, STYLES.get(row.worth, ""))
    )
