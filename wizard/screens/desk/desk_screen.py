"""The screen of the desk: a list of the flow, the marked row under it; a step is tried by Enter."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.flowcheck.desk.flow_reading import FlowReading
from wizard.screens.desk import desk_lines as lines
from wizard.screens.desk.desk_key import DeskKey
from wizard.screens.desk.desk_prompts import DeskPrompts
from wizard.screens.desk.desk_view import CaseRow, DeskList, DeskView, StepRow
from wizard.screens.desk.desk_work import DeskWork
from wizard.screens.layout import key_table
from wizard.screens.layout.ground import GroundScreen
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.message_line import MessageLine

if TYPE_CHECKING:
    from wizard.screens.desk.desk_app import DeskApp

MORE, MORE_TALL = 8, 14
"""Lines on the marked row, at 24 rows and from 30 on."""


class DeskScreen(GroundScreen):
    """Draws a view of the flow; what is read for it, ``DeskWork`` reads in threads."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "desk-next", "desk-before", "desk-search", "desk-clear", "desk-again", "desk-play", "desk-picture",
        "desk-approve", "desk-keep",
    )  # fmt: skip
    ABOUT = (
        "The desk",
        "Your flow beside your editor. At every save all of it is read and checked anew. Left and Right change the "
        "list: what is wrong, with the line; the steps; the cases; what differs from what was approved. Enter on a "
        "step opens it as the technician sees it, on a machine and at a state that a case gives, and the job goes on "
        "from there; what is worked there is kept apart and thrown away, unless w keeps it as a case. c plays all "
        "cases: then each step says how many of its ways they go.",
    )
    AUTO_FOCUS = "PickList"

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.view = DeskView(FlowReading(folder), doing="reading ...")
        self.work = DeskWork(self, folder, self.say)
        self._prompts = DeskPrompts(self)

    def compose(self) -> ComposeResult:
        """How the flow stands; its lists; the rows; more of the marked one; message, keys."""
        yield Static(id="desk-head")
        yield Static(id="desk-lists")
        yield PickList(id="list")
        yield Static(id="desk-more")
        yield MessageLine(id="message")
        yield KeyBar(id="keys")

    def here(self) -> tuple[str, ...]:
        """What works with the marked row."""
        rows = ("cursor",) if self.view.rows else ()
        step = ("desk-try", "desk-picture") if self.view.shown is DeskList.STEPS and self.view.rows else ()
        approve = ("desk-approve",) if self.view.reading.sound or self.view.reading.differing else ()
        keep = ("desk-keep",) if desk(self).tried else ()
        return (*step, *keep, "desk-next", "desk-search", "desk-play", *approve, *rows)

    def everywhere(self) -> tuple[str, ...]:
        """Look again, help, theme, leave."""
        return ("desk-clear", "desk-again", "help", "theme", "leave")

    def on_mount(self) -> None:
        """Read the flow, and again at every save."""
        self.read()
        self.work.watch(self.read)

    def on_resize(self, _event: events.Resize) -> None:
        """Lay it out anew."""
        self.draw()

    def read(self, play: bool = False) -> None:
        """Read the flow anew."""
        doing = "playing its cases ..." if play else "reading ..."
        self.view = replace(self.view, doing=doing)
        self.draw()
        self.work.read(play, self.found)

    def found(self, reading: FlowReading) -> None:
        """Show what was read. While it has errors of form its steps are shown as they were."""
        at = desk(self).clock.wall().astimezone().strftime("%H:%M:%S")
        self.view = self.view.having(reading, at)
        self.draw()

    def refresh_all(self) -> None:
        """A job was put away."""
        self.draw()

    def say(self, text: str) -> None:
        """Put a sentence on the message line."""
        for line in self.query(MessageLine):
            line.say(text)

    def change(self, view: DeskView) -> None:
        """Show another list, or other rows of it."""
        self.view = view
        self.draw(view.marks.get(view.shown, 0))

    def draw(self, mark: int | None = None) -> None:
        """Everything, for the view as it is; ``mark``: another row than is marked."""
        if not self.is_mounted:
            return
        view, width, rows = self.view, self.size.width - 2, self.query_one(PickList)
        tall = self.size.height >= 30
        self.query_one("#desk-head", Static).update(lines.head_line(view, width))
        self.query_one("#desk-lists", Static).update(lines.lists_line(view))
        rows.show(lines.row_lines(view, width), mark)
        more = self.query_one("#desk-more", Static)
        more.set_class(tall, "-tall")
        found = lines.more_lines(view, rows.index, width, MORE_TALL if tall else MORE)
        more.update(Content("\n").join(found))
        self.query_one(KeyBar).show(key_table.labels(self.here()), key_table.labels(self.everywhere()))

    def on_pick_list_moved(self, event: PickList.Moved) -> None:
        """Say more of the marked row."""
        self.view = self.view.marked(event.index)
        self.draw()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Try the marked step; a case says how it went."""
        row = self.view.rows[event.index] if event.index < len(self.view.rows) else None
        if isinstance(row, StepRow):
            self._prompts.try_step(row)
        elif isinstance(row, CaseRow):
            self._prompts.path(row)

    def action_desk(self, name: str) -> None:
        """Do what a key is for; ``name`` is one of ``DeskKey``."""
        match DeskKey(name):
            case DeskKey.NEXT | DeskKey.BEFORE:
                self.change(self.view.turned(1 if name == DeskKey.NEXT else -1))
            case DeskKey.SEARCH:
                self._prompts.search()
            case DeskKey.CLEAR:
                self.change(replace(self.view, words=""))
            case DeskKey.AGAIN:
                self.read()
            case DeskKey.PLAY:
                self.read(play=True)
            case DeskKey.PICTURE:
                self._prompts.picture()
            case DeskKey.APPROVE:
                self._prompts.approve()
            case DeskKey.KEEP:
                self._prompts.keep()


def desk(screen: DeskScreen) -> DeskApp:
    """The program of the desk."""
    return cast("DeskApp", screen.app)
