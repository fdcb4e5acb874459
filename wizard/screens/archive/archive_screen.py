"""The reviewer's screen: the queue, the marked session under it; Enter goes through that one again."""

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
from wizard.archive.archive_query import ArchiveFilter, ArchivePage
from wizard.screens.archive import archive_lines as lines
from wizard.screens.archive.archive_key import ArchiveKey
from wizard.screens.archive.archive_prompts import ArchivePrompts
from wizard.screens.archive.archive_view import ArchiveView, Doing
from wizard.screens.archive.archive_work import ArchiveWork
from wizard.screens.layout import key_table
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine
from wizard.sessions.session_store import Store

MORE, MORE_TALL = 7, 9
"""Lines on the marked session, at 24 rows and from 30 on."""


class ArchiveScreen(Screen[None]):
    """Draws a view of the archive; what is read for it, ``ArchiveWork`` reads in threads."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "archive-search",
        "archive-filter",
        "archive-order",
        "archive-clear",
        "archive-up",
        "archive-trends",
        "archive-visits",
        "archive-across",
        "back",
    )
    NARROWS = ("archive-search", "archive-filter", "archive-order", "archive-clear")
    HERE = ("archive-open", "cursor", "archive-visits", *NARROWS)
    EVERYWHERE = ("archive-trends", "archive-across", "back", "archive-up", "help", "theme", "leave")
    ABOUT = (
        "Archive",
        "All sessions of this home, those worth reading first. Risk is a sum of points for flags, for how the job "
        "ended and for what does not verify; the reasons stand beside it, and no point is a judgement of a person. "
        "What was signed off as it stands has none. Under 'flags' stand their kinds: s safety, e evidence, m money, "
        "h habit, large where one is of high gravity. Enter goes through the marked session again; words and filters "
        "narrow the list. Nothing here changes a record.",
    )
    AUTO_FOCUS = "PickList"

    def __init__(self, store: Store, index: ArchiveIndex, asked: ArchiveFilter | None = None) -> None:
        super().__init__()
        self.view = ArchiveView() if asked is None else ArchiveView(asked)
        self.work = ArchiveWork(self, store, index, self.found, self.going, self.say)
        self._prompts = ArchivePrompts(index, self.work.ask, self.change, self.say)
        self._touched = False

    def compose(self) -> ComposeResult:
        """What is listed and asked; the queue; more of the marked one; message, keys."""
        yield Static(id="archive-head")
        yield Static(id="archive-asked")
        yield Static(id="archive-heads")
        yield PickList(id="list")
        yield Static(id="archive-more")
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def here(self) -> tuple[str, ...]:
        """What works with the list."""
        return self.HERE if self.view.rows else self.NARROWS

    def everywhere(self) -> tuple[str, ...]:
        """Back, what is new, help, theme, leave."""
        return self.EVERYWHERE

    def on_screen_resume(self) -> None:
        """Show what the index has, then bring it up: at first, and after a replay, whose sign-off counts."""
        self.draw()
        self.work.search(self.view.asked)
        self.work.bring_up()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.draw()

    def change(self, view: ArchiveView) -> None:
        """Ask for other sessions; the mark goes to the first."""
        self.view, self._touched = view, False
        self.work.search(view.asked)

    def say(self, text: str) -> None:
        """Put a sentence on the message line."""
        self.query_one(MessageLine).say(text)

    def found(self, asked: ArchiveFilter, page: ArchivePage) -> None:
        """Show what came back, if it is still what is asked for; the mark stays on a session that was chosen."""
        if asked != self.view.asked:
            return
        rows = self.query_one(PickList)
        marked = self.view.marked(rows.index) if self._touched else None
        self.view = self.view.with_page(page)
        names = [row.session for row in page.rows]
        rows.index = names.index(marked.session) if marked is not None and marked.session in names else 0
        self.draw()

    def going(self, doing: Doing | None) -> None:
        """Say how far the index is brought up, and show what is known by now; last, what is wrong with a ledger."""
        if doing is not None or self.view.doing is not None:
            self.view = self.view.with_doing(doing)
            self.say(lines.doing_words(self.view))
        if doing is None and (ledgers := self.work.ledgers) is not None:
            self.view = replace(self.view, ledgers=ledgers)
            if ledgers.troubles:
                self.say(" ".join(ledgers.troubles))
        self.work.search(self.view.asked)

    def draw(self) -> None:
        """Everything, for the view as it is."""
        if not self.is_mounted:
            return
        view, width = self.view, self.size.width - 2
        tall, rows, beneath = (
            self.size.height >= 30,
            self.query_one(PickList),
            self.query_one("#archive-more", Static),
        )
        self.query_one("#archive-head", Static).update(lines.head_line(view))
        self.query_one("#archive-asked", Static).update(lines.asked_line(view, width))
        self.query_one("#archive-heads", Static).update(lines.heads_line(view.rows, width))
        rows.show(lines.row_lines(view.rows, width))
        more = lines.more_lines(view.marked(rows.index), width, MORE_TALL if tall else MORE)
        beneath.update(Content("\n").join(more))
        beneath.set_class(tall, "-tall")
        self.query_one(KeyBar).show(key_table.labels(self.here()), key_table.labels(self.everywhere()))

    def on_pick_list_moved(self) -> None:
        """Say more of the marked one; from now on the mark stays on its session, wherever that comes to stand."""
        self._touched = True
        self.draw()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Go through the marked session again."""
        if (row := self.view.marked(event.index)) is not None:
            self.say("Opening ...")
            self.work.open(row.session)

    def action_archive(self, name: str) -> None:
        """Do what a key is for; ``name`` is one of ``ArchiveKey``."""
        match ArchiveKey(name):
            case ArchiveKey.SEARCH:
                self._prompts.search(self.view)
            case ArchiveKey.FILTER:
                self._prompts.filter(self.view)
            case ArchiveKey.ORDER:
                self.change(self.view.turned())
            case ArchiveKey.CLEAR:
                self.change(self.view.cleared())
            case ArchiveKey.UP:
                self.work.bring_up()
            case ArchiveKey.VISITS:
                if (row := self.view.marked(self.query_one(PickList).index)) is not None:
                    self.work.visits(row)
            case ArchiveKey.ACROSS:
                self.work.across(lambda among: self.change(self.view.narrowed(among)))
            case ArchiveKey.TRENDS:
                from wizard.screens.archive.trends_screen import TrendsScreen

                # What was signed off counts as well: a trend is of all.
                asked = replace(self.view.asked, sign="", cell=None)
                self.app.push_screen(TrendsScreen(self.work.store, self.work.index, among=asked))

    def action_back(self) -> None:
        """To the home screen; where there is none, nowhere."""
        if self.app.screen_stack[0] is not self:
            self.dismiss()
        else:
            self.say("F12 leaves the program.")
