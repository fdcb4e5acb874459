"""A recording of a tub that swings out: which file it is, what was found in it, and which column is fitted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from wizard.engine.messages.decay_record import DecayFit
from wizard.errors import SteadfootError, UsageError
from wizard.flow.model import Caution
from wizard.foreign.file_reader import typed_path
from wizard.foreign.harmless import harmless
from wizard.screens.aids.recording_fit_panel import FitPanel, Fitted
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels import recording_lines
from wizard.screens.widgets.cautions import Cautions
from wizard.screens.widgets.field import EntryField
from wizard.screens.widgets.picklist import PickList

if TYPE_CHECKING:
    from wizard.measure.vibration.recording_file import Recording


class RecordingPanel(Panel[Fitted]):
    """Two sheets, the file and its columns; the fit lies over them. Ends with what was fitted. Esc goes back one."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "rec-file", "rec-complete", "rec-unit", "rec-time"
    )
    AUTO_FOCUS = ""
    TITLE_TEXT = "A recording of the tub's swings"
    ABOUT = (
        "A recording of the tub's swings",
        "Choose the CSV that a phone or a logger wrote; F2 to type its path, Tab completes it. Then look at what was "
        "found: mark the column that moves up and down, and see that its unit (u: another) and the unit of time (t: "
        "another) are right. Enter fits the swings. A recording is read, and fitted, by itself: Esc leaves it.",
    )
    folder: ClassVar[Path | None] = None

    def __init__(
        self, home: Path, verdict: Callable[[DecayFit], str], cautions: Sequence[Caution] = ()
    ) -> None:
        super().__init__()
        self._folders = (home, Path.cwd())
        self._verdict, self._cautions = verdict, cautions
        self._ticket, self._reading = 0, False
        self._files: tuple[recording_lines.RecordingFacts, ...] = ()
        self._source = Path()
        self._recording: Recording | None = None

    def body(self) -> ComposeResult:
        """Warnings, what to do, the field of the path, the rows, what can't be told."""
        yield Cautions(self._cautions)
        yield Static("", id="rec-says", markup=False)
        yield EntryField(id="rec-path")
        yield PickList(id="rec-rows")
        yield Static("", id="rec-shown", markup=False)

    def on_mount(self) -> None:
        """The files of the folder used last, of the home folder's recordings, and of the current folder."""
        self.call_after_refresh(
            self._look, self._known()
        )  # after the frame's own, which clears the message line

    def _known(self) -> tuple[Path, ...]:
        folder = type(self).folder
        return (folder, *self._folders) if folder else self._folders

    def here(self) -> tuple[str, ...]:
        """The keys of the sheet on top."""
        if self._reading:
            return ()
        if self._recording is not None:
            return ("cursor", "rec-fit", "rec-unit", "rec-time")
        return (
            ("rec-complete", "go") if self.query_one(EntryField).has_focus else ("cursor", "go", "rec-file")
        )

    def on_descendant_focus(self) -> None:
        """Other keys work while the path is typed."""
        self.show_keys()

    def show(self) -> None:
        """The sheet on top."""
        width = max(40, self.app.size.width - 4)
        self.query_one(EntryField).display = self._recording is None
        says, shown = ["Reading the file ... Esc leaves it."], []
        if not self._reading:
            says = wrapped(recording_lines.asks(self._recording), width)
            marked = self.query_one(PickList).index
            shown = recording_lines.doubts(self._recording, marked, width) if self._recording else []
        self.query_one("#rec-says", Static).update("\n".join(says))
        self.query_one("#rec-shown", Static).update("\n".join(shown))
        self.show_keys()

    def _look(self, folders: Sequence[Path], named: bool = False) -> None:
        """List the recordings of folders, and wait for one to be taken, or for a path."""
        rows, field = self.query_one(PickList), self.query_one(EntryField)
        try:
            self._files = recording_lines.newest(folders, named)
        except SteadfootError as problem:
            self.say(str(problem))
            return
        self._recording = None
        rows.show([_file_line(f, self.app.size.width - 6) for f in self._files], 0)
        self.show()
        (rows if self._files else field).focus()
        self.say("" if self._files else f"No CSV in {self._folders[0]}, nor here. Type the path of one.")

    def action_file(self) -> None:
        """Type a path."""
        if self._recording is None and not self._reading:
            self.query_one(EntryField).focus()

    def action_complete(self) -> None:
        """Complete the path as far as it is certain."""
        field = self.query_one(EntryField)
        if not field.has_focus:
            return
        field.value, count = recording_lines.completed(field.value)
        field.cursor_position = len(field.value)
        self.say({0: "Nothing begins so.", 1: ""}.get(count, f"{count} names begin so."))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Read the file that was typed, or list the folder; with nothing typed, back to the list."""
        typed = event.value.strip().strip('"')
        if self._reading:
            return
        try:
            path = typed_path(typed)
        except UsageError as problem:
            self.say(str(problem))
            return
        if not typed:
            self.query_one(PickList).focus()
        elif path.is_dir():
            self._look((path,), named=True)
        else:
            self._read(path)

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Read the marked file, or fit the marked column."""
        if self._reading:
            return
        if self._recording is None:
            self._read(self._files[event.index].path)
            return
        panel = FitPanel(self._source, self._recording, event.index, self._verdict, self._cautions)
        self.app.push_screen(panel, self._ended)

    def _ended(self, fitted: Fitted | None) -> None:
        """The fit was taken, or left for another column."""
        if fitted is not None:
            self.dismiss(fitted)

    def on_pick_list_moved(self) -> None:
        """Other doubts for another column."""
        if self._recording is not None:
            self.show()

    def _read(self, path: Path) -> None:
        self._source, self._reading = path, True
        self._ticket += 1
        self.say("")
        self.show()
        self._load(path, self._ticket)

    @work(thread=True, exclusive=True, group="recording")
    def _load(self, path: Path, ticket: int) -> None:
        found = recording_lines.read(path)
        if self.is_mounted and not get_current_worker().is_cancelled:
            self.call_later(self._loaded, ticket, found)

    def _loaded(self, ticket: int, found: Recording | str) -> None:
        """The columns of what was read, the likeliest marked; or what is wrong with it."""
        if ticket != self._ticket or not self.is_mounted:
            return
        self._reading = False
        if isinstance(found, str):
            self.show()
            self.say(found)
            return
        type(self).folder = self._source.parent
        self._recording = found
        self._columns(recording_lines.likeliest(found))

    def _columns(self, marked: int | None = None) -> None:
        assert self._recording is not None
        rows = self.query_one(PickList)
        rows.show([Content(recording_lines.column_line(c)) for c in self._recording.columns], marked)
        self.say("")
        self.show()
        rows.focus()
        self.host.guard.arm()

    def action_unit(self) -> None:
        """Read the marked column in another unit."""
        if self._recording is not None and not self._reading:
            self._recording = recording_lines.other_unit(self._recording, self.query_one(PickList).index)
            self._columns()

    def action_time(self) -> None:
        """Read the times in another unit."""
        if self._recording is None or self._reading:
            return
        if self._recording.time_unit == "clock":
            self.say("These are times of day: there is no other way to read them.")
            return
        self._recording = recording_lines.other_time(self._recording)
        self._columns()

    def action_back(self) -> None:
        """Leave what is being read, go back to the files, or leave the panel."""
        if self._reading:
            self._ticket, self._reading = self._ticket + 1, False
            self.show()
            self.say("Left.")
        elif self._recording is not None:
            self._look(self._known())
        else:
            self.dismiss(None)


def _file_line(file: recording_lines.RecordingFacts, width: int) -> Content:
    """A file: when it was written, how large it is, its name."""
    when = datetime.fromtimestamp(file.written, UTC).astimezone()
    return Content(f"{when:%Y-%m-%d %H:%M}  {file.size_words:>7}  {harmless(file.path.name)}"[:width])
