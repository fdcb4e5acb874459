"""A recording of a tub that swings out: which file it is, what was found in it, and which column is fitted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages.decay_record import DecayFit
from wizard.flow.model import Caution
from wizard.measure.vibration.recording_units import CLOCK_TIME
from wizard.screens.aids.file_panel import FilePanel
from wizard.screens.aids.recording_fit_panel import FitPanel, Fitted
from wizard.screens.aids.recording_reader import RecordingReader
from wizard.screens.layout import key_table
from wizard.screens.text.shared_sentences import SWINGS
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.reading import recording_lines
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.pictures.cautions import Cautions

if TYPE_CHECKING:
    from wizard.measure.vibration.recording_file import Recording


class RecordingPanel(FilePanel[Fitted]):
    """Two sheets, the file and its columns; the fit lies over them. Ends with what was fitted. Esc goes back one."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "rec-file", "rec-complete", "rec-unit", "rec-time"
    )
    TITLE_TEXT = SWINGS
    ABOUT = (
        SWINGS,
        "Choose the CSV that a phone or a logger wrote; F2 to type its path, Tab completes it. Then look at what was "
        "found: mark the column to fit (all axes together, or the one that moves up and down), and see that its unit "
        "(u: another) and the unit of time (t: another) are right. Enter fits the swings. A recording is read, and "
        "fitted, by itself: Esc leaves it.",
    )

    def __init__(
        self, home: Path, verdict: Callable[[DecayFit], str], cautions: Sequence[Caution] = ()
    ) -> None:
        super().__init__(home)
        self._verdict, self._cautions = verdict, cautions
        self.reader: RecordingReader[Recording] = RecordingReader(self, self.show, self._loaded)
        self._recording: Recording | None = None

    def body(self) -> ComposeResult:
        """Warnings, what to do, the field of the path, the rows, what can't be told."""
        yield Cautions(self._cautions)
        yield Static("", id="rec-says", markup=False)
        yield from self.entries()
        yield Static("", id="rec-shown", markup=False)

    @property
    def opened(self) -> bool:
        """Whether the columns stand on top."""
        return self._recording is not None

    def forget(self) -> None:
        """Go back to the files."""
        self._recording = None

    def read(self, path: Path) -> None:
        """Read a file."""
        self.reader.read(path, lambda source, _share: recording_lines.read(source))

    def here(self) -> tuple[str, ...]:
        """The keys of the sheet on top."""
        if self.reader.reading:
            return ()
        if self._recording is not None:
            return ("cursor", "rec-fit", "rec-unit", "rec-time")
        return (
            ("rec-complete", "go") if self.query_one(EntryField).has_focus else ("cursor", "go", "rec-file")
        )

    def show(self) -> None:
        """The sheet on top; what was said before is gone once a file is being read."""
        if self.reader.reading:
            self.say("")
        width = max(40, self.app.size.width - 4)
        self.query_one(EntryField).display = self._recording is None
        says, shown = ["Reading the file ... Esc leaves it."], []
        if not self.reader.reading:
            says = wrapped(recording_lines.asks(self._recording), width)
            marked = self.query_one(PickList).index
            shown = recording_lines.doubts(self._recording, marked, width) if self._recording else []
        self.query_one("#rec-says", Static).update("\n".join(says))
        self.query_one("#rec-shown", Static).update("\n".join(shown))
        self.show_keys()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Read the marked file, or fit the marked column."""
        if self.reader.reading:
            return
        if self._recording is None:
            self.read(self._files[event.index].path)
            return

        def ended(fitted: Fitted | None) -> None:
            if fitted is not None:  # One that is left leads to another column.
                self.dismiss(fitted)

        panel = FitPanel(self.reader.source, self._recording, event.index, self._verdict, self._cautions)
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
            type(self).folder, marked = self.reader.source.parent, recording_lines.likeliest(found)
        self._recording = found
        rows.show([Content(recording_lines.column_line(c)) for c in found.columns], marked)
        self.say("")
        self.show()
        rows.focus()
        self.host.guard.arm()

    def action_other(self, what: str) -> None:
        """Read the marked column, or the times, in another unit."""
        recording = self._recording
        if recording is None or self.reader.reading:
            return
        if what == "unit":
            self._loaded(recording_lines.other_unit(recording, self.query_one(PickList).index))
        elif recording.time_unit == CLOCK_TIME:
            self.say("These are times of day: there is no other way to read them.")
        else:
            self._loaded(recording_lines.other_time(recording))

    def left(self) -> None:
        """The columns, or the files, stand there again."""
        self.show()
