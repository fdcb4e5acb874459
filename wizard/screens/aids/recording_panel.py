"""A recording of a tub that swings out: which file it is, what was found in it, and which column is fitted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Input, Static

from wizard.engine.messages.decay_record import DecayFit
from wizard.errors import SteadfootError, UsageError
from wizard.flow.model import Caution
from wizard.foreign.file_reader import size_words, typed_path
from wizard.foreign.harmless import harmless
from wizard.measure.vibration.recording_units import CLOCK_TIME
from wizard.screens.aids.recording_fit_panel import FitPanel, Fitted
from wizard.screens.aids.recording_reader import RecordingReader
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.shared_sentences import SWINGS
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.reading import recording_lines
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.pictures.cautions import Cautions

if TYPE_CHECKING:
    from wizard.measure.vibration.recording_file import Recording


class RecordingPanel(Panel[Fitted]):
    """Two sheets, the file and its columns; the fit lies over them. Ends with what was fitted. Esc goes back one."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "rec-file", "rec-complete", "rec-unit", "rec-time"
    )
    AUTO_FOCUS = ""
    TITLE_TEXT = SWINGS
    ABOUT = (
        SWINGS,
        "Choose the CSV that a phone or a logger wrote; F2 to type its path, Tab completes it. Then look at what was "
        "found: mark the column to fit (all axes together, or the one that moves up and down), and see that its unit "
        "(u: another) and the unit of time (t: another) are right. Enter fits the swings. A recording is read, and "
        "fitted, by itself: Esc leaves it.",
    )
    folder: ClassVar[Path | None] = None

    def __init__(
        self, home: Path, verdict: Callable[[DecayFit], str], cautions: Sequence[Caution] = ()
    ) -> None:
        super().__init__()
        self._folders = (home, Path.cwd())
        self._verdict, self._cautions = verdict, cautions
        self._reader = RecordingReader(self, self.show, self._loaded)
        self._files: tuple[recording_lines.RecordingFacts, ...] = ()
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
        self.call_after_refresh(self._look)  # after the frame's own, which clears the message line

    def here(self) -> tuple[str, ...]:
        """The keys of the sheet on top."""
        if self._reader.reading:
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
        """The sheet on top; what was said before is gone once a file is being read."""
        if self._reader.reading:
            self.say("")
        width = max(40, self.app.size.width - 4)
        self.query_one(EntryField).display = self._recording is None
        says, shown = ["Reading the file ... Esc leaves it."], []
        if not self._reader.reading:
            says = wrapped(recording_lines.asks(self._recording), width)
            marked = self.query_one(PickList).index
            shown = recording_lines.doubts(self._recording, marked, width) if self._recording else []
        self.query_one("#rec-says", Static).update("\n".join(says))
        self.query_one("#rec-shown", Static).update("\n".join(shown))
        self.show_keys()

    def _look(self, folder: Path | None = None) -> None:
        """List the recordings of a folder that was named, else those of the folders that are known; wait for one to
        be taken, or for a path.
        """
        used = type(self).folder
        folders = (folder,) if folder else (used, *self._folders) if used else self._folders
        rows, field = self.query_one(PickList), self.query_one(EntryField)
        try:
            self._files = recording_lines.newest(folders, folder is not None)
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
        if self._recording is None and not self._reader.reading:
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
        if self._reader.reading:
            return
        try:
            path = typed_path(typed)
        except UsageError as problem:
            self.say(str(problem))
            return
        if not typed:
            self.query_one(PickList).focus()
        elif path.is_dir():
            self._look(path)
        else:
            self._reader.read(path)

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Read the marked file, or fit the marked column."""
        if self._reader.reading:
            return
        if self._recording is None:
            self._reader.read(self._files[event.index].path)
            return

        def ended(fitted: Fitted | None) -> None:
            if fitted is not None:  # One that is left leads to another column.
                self.dismiss(fitted)

        panel = FitPanel(self._reader.source, self._recording, event.index, self._verdict, self._cautions)
        self.app.push_screen(panel, ended)

    def on_pick_list_moved(self) -> None:
        """Other doubts for another column."""
        if self._recording is not None:
            self.show()

    def _loaded(self, found: Recording | str) -> None:
        """The columns of what was read, the likeliest marked, or what is wrong with it; a mark that is there stays."""
        if isinstance(found, str):
            self.show()
            self.say(found)
            return
        rows, marked = self.query_one(PickList), None
        if self._recording is None:
            type(self).folder, marked = self._reader.source.parent, recording_lines.likeliest(found)
        self._recording = found
        rows.show([Content(recording_lines.column_line(c)) for c in found.columns], marked)
        self.say("")
        self.show()
        rows.focus()
        self.host.guard.arm()

    def action_other(self, what: str) -> None:
        """Read the marked column, or the times, in another unit."""
        recording = self._recording
        if recording is None or self._reader.reading:
            return
        if what == "unit":
            self._loaded(recording_lines.other_unit(recording, self.query_one(PickList).index))
        elif recording.time_unit == CLOCK_TIME:
            self.say("These are times of day: there is no other way to read them.")
        else:
            self._loaded(recording_lines.other_time(recording))

    def action_back(self) -> None:
        """Leave what is being read, go back to the files, or leave the panel."""
        if self._reader.reading:
            self._reader.leave()
            self.show()
            self.say("Left.")
        elif self._recording is not None:
            self._look()
        else:
            self.dismiss(None)


def _file_line(file: recording_lines.RecordingFacts, width: int) -> Content:
    """A file: when it was written, how large it is, its name."""
    when = datetime.fromtimestamp(file.written, UTC).astimezone()
    return Content(f"{when:%Y-%m-%d %H:%M}  {size_words(file.size):>7}  {harmless(file.path.name)}"[:width])
