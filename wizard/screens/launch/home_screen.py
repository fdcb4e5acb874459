"""Home: begin a job, or resume one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from wizard.errors import SteadfootError
from wizard.screens.layout import key_table
from wizard.screens.layout.ground import GroundScreen
from wizard.screens.program.ledger_thread import take_up_beside
from wizard.screens.text.charset import sign
from wizard.screens.viewmodels.home_list import HomeList
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.screens.launch.job_app import JobApp
    from wizard.screens.viewmodels.session_list import Summary
    from wizard.sessions.session_store import Store

MOST = 200
"""Sessions title_choices; older ones are taken up from the command line."""


class HomeScreen(GroundScreen):
    """What one can do, and the sessions, newest first. Journals are read in a thread, after the first paint."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("new", "archive", "inbox")
    ABOUT = (
        "Home",
        "Up and Down mark a line, Enter takes it. The first lines begin a new job, one for each flow; n does the same. "
        "Under them are the jobs of this computer, newest first: Enter takes the marked one up again; what may "
        "have changed is asked anew. If the newest is still under way, it is the one marked at the start. Where a "
        "reviewer wrote on one of them, a line says so: r reads it, and answers it. a shows all sessions, for a "
        "reviewer.",
    )
    AUTO_FOCUS = "PickList"

    def __init__(self) -> None:
        super().__init__()
        self._list = HomeList()
        self._touched = self._swept = False

    def compose(self) -> ComposeResult:
        """Name, purpose, list, keys."""
        yield Static("Steadfoot", id="name", markup=False)
        yield Static(_PURPOSE, id="purpose", markup=False)
        with Vertical(id="body"):
            yield Static(id="inbox", markup=False)
            yield Static(id="begin")
            yield PickList(id="list")
        yield Static(_CARE, id="care", markup=False)
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def here(self) -> tuple[str, ...]:
        """What works with the marked line."""
        return self._list.keys(self.query_one(PickList).index)

    def everywhere(self) -> tuple[str, ...]:
        """Help, theme, leave."""
        return (*(("inbox",) if self._list.inbox else ()), "archive", "help", "theme", "leave")

    def on_mount(self) -> None:
        """Paint first, read then."""
        self.query_one(MessageLine).say()
        self.call_after_refresh(self.refresh_all)

    def on_resize(self, _event: events.Resize) -> None:
        """The rows are cut to the window."""
        self._draw()

    def refresh_all(self) -> None:
        """Look for the flows and the sessions again; nothing on a screen that was taken away."""
        if not self.query(PickList):
            return
        from wizard.screens.viewmodels.flow_titles import (
            title_choices,  # Late: home is painted without reading a flow.
        )

        flows, sessions = self._list.flows, self._list.sessions
        try:
            flows = title_choices(_program(self).flows())
            sessions = _program(self).store.home.list_ids()[:MOST]
        except (SteadfootError, OSError) as problem:
            self.query_one(MessageLine).say(str(problem))
        self._list = HomeList(flows, sessions)
        if _program(self).notice:
            self.query_one(MessageLine).say(_program(self).notice)
        self._draw()
        self._look(sessions)

    @work(thread=True, exclusive=True, group="sessions")
    def _look(self, names: Sequence[str]) -> None:
        from textual.worker import get_current_worker

        from wizard.screens.viewmodels.session_list import summary

        worker = get_current_worker()
        for name in names:
            if worker.is_cancelled:
                return
            found = summary(_program(self).store, name)
            self.app.call_from_thread(self._found, found)
        # Once a run, when all else is there: it looks into every folder.
        swept, self._swept = self._swept, True
        if swept:
            return
        if _swept_any(_program(self).store):
            self.app.call_from_thread(self.refresh_all)
        take_up_beside(self.app, _program(self).store, lambda text: _say(self, text))

    def _found(self, found: Summary) -> None:
        """Show what was read of a session. A job under way is what one comes for: the newest is marked, and the keys
        are deaf for a moment, as at a new question. Nothing where the screen was taken away while it was read.
        """
        if not self.query(PickList):
            return
        self._list = self._list.reading(found)
        self._draw()
        if found.going and not self._touched and self._list.newest(found.name):
            rows = self.query_one(PickList)
            rows.show(rows.rows, len(self._list.flows))
            _program(self).host.guard.arm()
            self._draw()

    def on_key(self) -> None:
        """From the first key on the mark is the person's."""
        self._touched = True

    def _draw(self) -> None:
        """The lines, and the keys that work now; nothing on a screen that was taken away."""
        if not self.query(PickList):
            return
        again = f"Begin a job, or take one up again {sign('·')} newest first" if self._list.sessions else ""
        self.query_one("#inbox", Static).display = bool(self._list.inbox)
        if self._list.inbox:
            from wizard.sessions.review_inbox import inbox_words

            self.query_one("#inbox", Static).update(inbox_words(self._list.inbox))
        self.query_one("#begin", Static).update(Content.styled(again, "$faint"))
        self.query_one(PickList).show(self._list.rows(self.size.width))
        self.query_one(KeyBar).show(key_table.labels(self.here()), key_table.labels(self.everywhere()))

    def on_pick_list_moved(self) -> None:
        """Enter begins one line and takes up another."""
        self._draw()

    def action_new(self, flow: str = "") -> None:
        """Begin a job, of a flow that is chosen if there are several and none is named."""
        from wizard.screens.launch import start_job

        start_job.begin(_program(self), flow, self._list.technician)

    def action_inbox(self) -> None:
        """Read what a reviewer wrote, and answer it."""
        if not self._list.inbox:
            return
        from wizard.screens.launch.review_inbox_prompts import ReviewInboxPrompts

        def answered(says: str) -> None:
            self.refresh_all()
            self.query_one(MessageLine).say(says)

        here = self._list
        technicians = {name: found.technician for name, found in here.read.items()}
        ReviewInboxPrompts(_program(self), here.inbox, technicians, answered).open()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Begin the marked job, or resume it."""
        from wizard.screens.launch import start_job

        if flow := self._list.flow(event.index):
            self.action_new(flow)
            return
        name = self._list.session(event.index)
        found = self._list.read.get(name)
        if found is not None and found.trouble:
            self.query_one(MessageLine).say(found.trouble)
        else:
            start_job.resume(_program(self), name)


def _program(screen: HomeScreen) -> JobApp:
    return cast("JobApp", screen.app)


def _say(screen: HomeScreen, text: str) -> None:
    """Put a sentence on the message line; a thread may have it when the screen is gone, and then nobody is told."""
    for line in screen.query(MessageLine):
        line.say(text)


def _swept_any(store: Store) -> bool:
    """Take away what was left half done; whether anything was."""
    from wizard.sessions.sweeping import sweep

    return bool(sweep(store.home, store.clock.wall().timestamp()))


_PURPOSE = "A faulty machine, from the door to the handover: one question a screen."
_CARE = (
    "Local codes and the maker's sheet come first. Fixed wiring, gas and structure are for licensed trades."
)
