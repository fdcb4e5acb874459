"""Home: begin a job, or resume one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from wizard.errors import SteadfootError
from wizard.screens.layout import key_table
from wizard.screens.text.charset import sign
from wizard.screens.text.clipping import cut
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.screens.launch.app import SteadfootApp
    from wizard.screens.viewmodels.session_list import Summary

MOST = 200
"""Sessions listed; older ones are taken up from the command line."""


class HomeScreen(Screen[None]):
    """What one can do, and the sessions, newest first. Journals are read in a thread, after the first paint."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("new")
    ABOUT = (
        "Home",
        "Up and Down mark a line, Enter takes it. The first lines begin a new job, one for each flow; n does the same. "
        "Under them are the jobs of this computer, newest first: Enter takes the marked one up again; what may "
        "have changed is asked anew. If the newest is still under way, it is the one marked at the start.",
    )
    AUTO_FOCUS = "PickList"

    def __init__(self) -> None:
        super().__init__()
        self._flows: tuple[tuple[str, str], ...] = ()
        self._names: tuple[str, ...] = ()
        self._read: dict[str, Summary] = {}
        self._touched = False

    def compose(self) -> ComposeResult:
        """Name, purpose, list, keys."""
        yield Static("Steadfoot", id="name", markup=False)
        yield Static(_PURPOSE, id="purpose", markup=False)
        with Vertical(id="body"):
            yield Static(id="begin")
            yield PickList(id="list")
        yield Static(_CARE, id="care", markup=False)
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    @property
    def program(self) -> SteadfootApp:
        """The program."""
        return cast("SteadfootApp", self.app)

    def here(self) -> tuple[str, ...]:
        """What Enter does with the marked line, the arrows where there are several, and new."""
        rows = len(self._flows) + len(self._names)
        enter = "begin" if self.query_one(PickList).index < len(self._flows) else "take-up"
        return (*((enter,) if rows else ()), *(("cursor",) if rows > 1 else ()), "new")

    def everywhere(self) -> tuple[str, ...]:
        """Help, theme, leave."""
        return ("help", "theme", "leave")

    def on_mount(self) -> None:
        """Paint first, read then."""
        self.query_one(MessageLine).say()
        self.call_after_refresh(self.refresh_all)

    def on_resize(self, _event: events.Resize) -> None:
        """The rows are cut to the window."""
        self._draw()

    def refresh_all(self) -> None:
        """Look for the flows and the sessions again."""
        from wizard.screens.viewmodels.flow_titles import (
            listed,  # Late: home is painted without reading a flow.
        )

        try:
            self._flows = listed(self.program.flows())
            self._names = self.program.store.home.list_ids()[:MOST]
        except (SteadfootError, OSError) as problem:
            self.query_one(MessageLine).say(str(problem))
        self._read.clear()
        self._draw()
        self._look(self._names)

    @work(thread=True, exclusive=True, group="sessions")
    def _look(self, names: Sequence[str]) -> None:
        from textual.worker import get_current_worker

        from wizard.screens.viewmodels.session_list import summary

        worker = get_current_worker()
        for name in names:
            if worker.is_cancelled:
                return
            found = summary(self.program.store, name)
            self.app.call_from_thread(self._found, found)

    def _found(self, found: Summary) -> None:
        self._read[found.name] = found
        self._draw()
        if found.going and not self._touched and self._names[:1] == (found.name,):
            self._mark_newest()

    def _mark_newest(self) -> None:
        """A job under way is what one comes for; the keys are deaf for a moment, as at a new question."""
        listed = self.query_one(PickList)
        listed.show(listed.rows, len(self._flows))
        self.program.host.guard.arm()
        self.show_keys()

    def on_key(self) -> None:
        """From the first key on the mark is the person's."""
        self._touched = True

    def _draw(self) -> None:
        again = f"Begin a job, or take one up again {sign('·')} newest first" if self._names else ""
        self.query_one("#begin", Static).update(Content.styled(again, "$faint"))
        begin = [
            Content(cut(f"Begin a new job: {title}", self.size.width - 4)) for _name, title in self._flows
        ]
        self.query_one(PickList).show([*begin, *map(self._row, self._names)])
        self.show_keys()

    def show_keys(self) -> None:
        """The keys that work now."""
        self.query_one(KeyBar).show(key_table.shown(self.here()), key_table.shown(self.everywhere()))

    def on_pick_list_moved(self) -> None:
        """Enter begins one line and takes up another."""
        self.show_keys()

    def _row(self, name: str) -> Content:
        found = self._read.get(name)
        if found is None:
            return Content(name)
        if found.trouble:
            return Content(f"{name}  ").append(Content.styled("can't be read", "$error"))
        room = max(12, self.size.width - 56)
        says = found.complaint if len(found.complaint) <= room else f"{found.complaint[: room - 3]}..."
        return Content(f"{name}  {found.when:<12}  {found.stands:<19}  {says}")

    def action_new(self) -> None:
        """Begin a job, of a flow that is chosen if there are several."""
        self._begin("")

    def _begin(self, flow: str) -> None:
        from wizard.screens.launch import start_job

        last = next((s.technician for s in self._read.values() if s.technician), "")
        start_job.begin(self.program, flow, last)

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Begin the marked job, or resume it."""
        if event.index < len(self._flows):
            self._begin(self._flows[event.index][0])
        else:
            self._take_up(self._names[event.index - len(self._flows)])

    def _take_up(self, name: str) -> None:
        from wizard.screens.launch import start_job

        found = self._read.get(name)
        if found is not None and found.trouble:
            self.query_one(MessageLine).say(found.trouble)
        else:
            start_job.resume(self.program, name)


_PURPOSE = "A faulty washer, from the door to the handover: one question a screen."
_CARE = (
    "Local codes and the maker's sheet come first. Fixed wiring, gas and structure are for licensed trades."
)
