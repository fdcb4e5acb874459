"""The screen of trends: one of them at a time, a row a month, fault, part or step; Enter opens a row's sessions."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.trend_cell import TrendKind
from wizard.archive.trends.trend_table import TrendTable
from wizard.screens.archive import trends_lines as lines
from wizard.screens.archive.archive_key import TrendKey
from wizard.screens.archive.archive_prompts import ArchivePrompts
from wizard.screens.archive.archive_screen import ArchiveScreen
from wizard.screens.archive.archive_view import ArchiveView, Doing
from wizard.screens.archive.archive_work import ArchiveWork
from wizard.screens.archive.trends_prompts import TrendsPrompts
from wizard.screens.archive.trends_view import TrendsView
from wizard.screens.layout import key_table
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine
from wizard.sessions.session_store import Store

MORE, MORE_TALL = 8, 12
"""Lines on the marked row, at 24 rows and from 30 on."""


class TrendsScreen(Screen[None]):
    """Draws a trend; ``ArchiveWork`` computes it in a thread."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "trend-counted", "trend-next", "trend-before", "trend-rows", "trend-filter", "trend-clear", "trend-held",
        "trend-days", "back",
    )  # fmt: skip
    EVERYWHERE = ("back", "help", "theme", "leave")
    ABOUT = (
        "Trends",
        "What many sessions say together. The line of a row is its interval of 95 %: few sessions, a long line. The "
        "upright stroke is the target, of times the flow's own. 'Drawn' is the share drawn to the other rows as far "
        "as a row's own sessions are few; how likely it is over the target goes by that. A month beyond what chance "
        "gives has another sign. Left and Right change the trend, Enter opens a row's sessions. Nobody is compared "
        "with anybody: a person is a filter, never a row.",
    )
    AUTO_FOCUS = "PickList"

    def __init__(
        self,
        store: Store,
        index: ArchiveIndex,
        view: TrendsView | None = None,
        among: ArchiveFilter | None = None,
        first: bool = False,
    ) -> None:
        super().__init__()
        self.view = view or TrendsView(among=among or ArchiveFilter())
        self.work = ArchiveWork(self, store, index, lambda *_: None, self.going, self.say)
        self._filters = ArchivePrompts(
            index, self.work.ask, lambda view: self.change(self.view.of_those(view.asked)), self.say
        )
        self._prompts = TrendsPrompts(self.work.ask, self.change)
        self._first = first

    def compose(self) -> ComposeResult:
        """Which trend, of what; its rows; more of the marked one; message, keys."""
        yield Static(id="trend-head")
        yield Static(id="trend-asked")
        yield Static(id="trend-heads")
        yield PickList(id="list")
        yield Static(id="trend-more")
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def here(self) -> tuple[str, ...]:
        """What works with the rows."""
        back = ("trend-days",) if self.view.kind is TrendKind.BACK else ()
        held = ("trend-held",) if self.view.kind is not TrendKind.MINUTES else ()
        by = ("trend-rows",) if len(self.view.groups) > 1 else ()
        rows = ("trend-open", "trend-counted", "cursor") if self.view.rows else ()
        return (*rows, "trend-next", *by, *held, *back, "trend-filter", "trend-clear")

    def everywhere(self) -> tuple[str, ...]:
        """Back, help, theme, leave."""
        return self.EVERYWHERE

    def on_mount(self) -> None:
        """Compute what is shown first; the first screen of a program brings the index up as well."""
        self.change(self.view)
        if self._first:
            self.work.bring_up()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.draw()

    def change(self, view: TrendsView) -> None:
        """Show another trend, or the same of others."""
        self.view = view
        self.draw()
        self.work.compute(view.asked(self.work.store.clock.wall().date().toordinal()), self.found)

    def found(self, table: TrendTable) -> None:
        """Show what was computed, if it is still what is asked for."""
        view = self.view
        if (table.asked.kind, table.asked.group, table.asked.among) == (view.kind, view.group, view.among):
            self.view = replace(view, table=table)
            self.draw()

    def going(self, doing: Doing | None) -> None:
        """Say how far the index is brought up, and compute anew at its end."""
        if doing is None:
            self.say("")
            self.change(self.view)
        else:
            self.say(f"{doing.done} of {doing.of} sessions {doing.what.value}. The rows are those of before.")

    def say(self, text: str) -> None:
        """Put a sentence on the message line."""
        self.query_one(MessageLine).say(text)

    def draw(self) -> None:
        """Everything, for the view as it is."""
        if not self.is_mounted:
            return
        width, rows, tall = self.size.width - 2, self.query_one(PickList), self.size.height >= 30
        self.query_one("#trend-head", Static).update(lines.head_line(self.view, width))
        self.query_one("#trend-asked", Static).update(lines.asked_line(self.view, width))
        self.query_one("#trend-heads", Static).update(lines.heads_line(self.view, width))
        rows.show(lines.row_lines(self.view, width))
        more = self.query_one("#trend-more", Static)
        more.set_class(tall, "-tall")
        found = lines.more_lines(self.view, rows.index, width, MORE_TALL if tall else MORE)
        more.update(Content("\n").join(found))
        self.query_one(KeyBar).show(key_table.labels(self.here()), key_table.labels(self.everywhere()))

    def on_pick_list_moved(self) -> None:
        """Say more of the marked row."""
        self.draw()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Open the sessions behind the row."""
        _open(self.work, self.view.behind(event.index, True))

    def action_trend(self, name: str) -> None:
        """Do what a key is for; ``name`` is one of ``TrendKey``."""
        match TrendKey(name):
            case TrendKey.COUNTED:
                _open(self.work, self.view.behind(self.query_one(PickList).index, False))
            case TrendKey.NEXT | TrendKey.BEFORE:
                self.change(self.view.turned(1 if name == TrendKey.NEXT else -1))
            case TrendKey.FILTER:
                self._filters.filter(ArchiveView(self.view.among))
            case TrendKey.CLEAR:
                self.change(self.view.of_those(ArchiveFilter()))
            case TrendKey.ROWS:
                self._prompts.rows(self.view)
            case TrendKey.HELD:
                self._prompts.held(self.view)
            case TrendKey.DAYS:
                self._prompts.days(self.view)

    def action_back(self) -> None:
        """To the list; where there is none, nowhere."""
        if self.app.screen_stack[0] is not self:
            self.dismiss()
        else:
            self.say("F12 leaves the program.")


def _open(work: ArchiveWork, asked: ArchiveFilter | None) -> None:
    """Lay the list of the sessions behind a row over the trends."""
    if asked is not None:
        work.lay(ArchiveScreen(work.store, work.index, asked))
