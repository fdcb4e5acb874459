"""The reviewer's screen: the queue, the marked session under it; Enter goes through that one again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static
from textual.worker import get_current_worker

from wizard.archive.apart import bring_up_apart
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveRow
from wizard.archive.bringing_up import BringingUp
from wizard.errors import SteadfootError
from wizard.screens.archive import archive_lines as lines
from wizard.screens.archive.archive_prompts import ArchivePrompts
from wizard.screens.archive.archive_view import MOST, ArchiveView
from wizard.screens.archive.review_screen import ReviewScreen
from wizard.screens.dialogs.message_panel import MessagePanel
from wizard.screens.layout import key_table
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine
from wizard.sessions.session_store import Store

MORE, MORE_TALL = 7, 9
"""Lines on the marked session, at 24 rows and from 30 on."""


class ArchiveScreen(Screen[None]):
    """Draws a view of the archive. The index is read in threads; it is brought up while the list is there."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "archive-search", "archive-filter", "archive-order", "archive-clear", "archive-up", "back"
    )
    HERE = ("archive-open", "cursor", "archive-search", "archive-filter", "archive-order", "archive-clear")
    EVERYWHERE = ("back", "archive-up", "help", "theme", "leave")
    ABOUT = (
        "Archive",
        "All sessions of this home, those worth reading first. Risk is a sum of points for flags, for how the job "
        "ended and for what does not verify; the reasons stand beside it, and no point is a judgement of a person. "
        "What was signed off as it stands has none. Enter goes through the marked session again; words and filters "
        "narrow the list. Nothing here changes a record.",
    )
    AUTO_FOCUS = "PickList"

    def __init__(self, store: Store, index: ArchiveIndex, asked: ArchiveFilter | None = None) -> None:
        super().__init__()
        self._store, self._index = store, index
        self.view = ArchiveView() if asked is None else ArchiveView(asked)
        self._touched = False
        self._prompts = ArchivePrompts(index, self.ask, self.change, self.say)

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
        return (
            self.HERE
            if self.view.rows
            else tuple(k for k in self.HERE if k not in ("archive-open", "cursor"))
        )

    def everywhere(self) -> tuple[str, ...]:
        """Back, what is new, help, theme, leave."""
        return self.EVERYWHERE

    def on_mount(self) -> None:
        """Show what the index has, then bring it up."""
        self.draw()
        self.search()
        self.bring_up()

    def on_screen_resume(self) -> None:
        """After a replay its notes and sign-off count."""
        if self.view.page is not None:
            self.bring_up()

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.draw()

    def change(self, view: ArchiveView) -> None:
        """Ask for other sessions; the mark goes to the first."""
        self.view = view
        self._touched = False
        self.search()

    def say(self, text: str) -> None:
        """Put a sentence on the message line."""
        self.query_one(MessageLine).say(text)

    def ask(self, screen: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the screen; ``then`` gets its answer unless it was left without one."""
        self.app.push_screen(screen, lambda answer: None if answer is None else then(answer))

    @property
    def marked(self) -> ArchiveRow | None:
        """The session that is marked."""
        at = self.query_one(PickList).index
        return self.view.rows[at] if at < len(self.view.rows) else None

    @work(thread=True, exclusive=True, group="archive-search")
    def search(self) -> None:
        """Find what is asked for."""
        worker, asked = get_current_worker(), self.view.asked
        try:
            page = self._index.find(asked, MOST)
        except SteadfootError as problem:
            self.app.call_from_thread(self.say, str(problem))
            return
        if not worker.is_cancelled:
            self.app.call_from_thread(self._found, asked, page)

    def _found(self, asked: ArchiveFilter, page: Any) -> None:
        if asked == self.view.asked:
            marked = self.marked
            self.view = self.view.with_page(page)
            names = [row.session for row in page.rows]
            kept = self._touched and marked is not None and marked.session in names
            self.query_one(PickList).index = names.index(marked.session) if kept and marked is not None else 0
            self.draw()

    @work(thread=True, exclusive=True, group="archive-up")
    def bring_up(self) -> None:
        """Read what is new or changed, and look at it; the list follows."""
        worker = get_current_worker()

        def say(what: BringingUp, done: int, of: int) -> bool:
            if not worker.is_cancelled:
                self.app.call_from_thread(self._going, (what, done, of))
            return not worker.is_cancelled

        try:
            bring_up_apart(self._index, self._store, say)
        except SteadfootError as problem:
            self.app.call_from_thread(self.say, str(problem))
        if not worker.is_cancelled:
            self.app.call_from_thread(self._going, None)

    def _going(self, doing: tuple[BringingUp, int, int] | None) -> None:
        if doing is not None or self.view.doing is not None:
            self.view = self.view.with_doing(doing)
            self.say(lines.doing_words(self.view))
        self.search()

    def draw(self) -> None:
        """Everything, for the view as it is."""
        if not self.is_mounted:
            return
        view, width = self.view, self.size.width - 2
        tall = MORE_TALL if self.size.height >= 30 else MORE
        self.query_one("#archive-head", Static).update(lines.head_line(view))
        self.query_one("#archive-asked", Static).update(lines.asked_line(view, width))
        self.query_one("#archive-heads", Static).update(lines.heads_line(width))
        self.query_one(PickList).show(lines.row_lines(view.rows, width))
        more = lines.more_lines(self.marked, width, tall)
        self.query_one("#archive-more", Static).update(Content("\n").join(more))
        self.query_one("#archive-more").set_class(tall == MORE_TALL, "-tall")
        self.query_one(KeyBar).show(key_table.shown(self.here()), key_table.shown(self.everywhere()))

    def on_pick_list_moved(self) -> None:
        """Say more of the marked one; from now on the mark stays on its session, wherever that comes to stand."""
        self._touched = True
        self.draw()

    def on_pick_list_picked(self) -> None:
        """Go through the marked session again."""
        if (row := self.marked) is not None:
            self.say("Opening ...")
            self.open(row.session)

    @work(thread=True, exclusive=True, group="archive-open")
    def open(self, session: str) -> None:
        """Read a session whole and lay its replay over the list, or say why it can't be read."""
        try:
            found = ReviewedSession(self._store, session)
        except SteadfootError as problem:
            panel = MessagePanel("It can't be read", (str(problem),))
            self.app.call_from_thread(self.app.push_screen, panel)
        else:
            self.app.call_from_thread(self.app.push_screen, ReviewScreen(found))
        self.app.call_from_thread(self.say, "")

    def action_archive(self, name: str) -> None:
        """Do what a key is for: search, filter, order, clear, up."""
        match name:
            case "search":
                self._prompts.search(self.view)
            case "filter":
                self._prompts.filter(self.view)
            case "order":
                self.change(self.view.turned())
            case "clear":
                self.change(self.view.cleared())
            case _:
                self.bring_up()

    def action_back(self) -> None:
        """To the home screen; where there is none, out of the program."""
        if len(self.app.screen_stack) > 1 and self.app.screen_stack[0] is not self:
            self.dismiss()
        else:
            self.say("F12 leaves the program.")
