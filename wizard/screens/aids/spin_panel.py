"""The recording of a spin: which file it is, and what it says before it is taken into the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.state.job_view import JobView
from wizard.errors import SteadfootError, UsageError
from wizard.flow.model import Caution, RecordStep
from wizard.foreign.file_reader import size_words, typed_path
from wizard.foreign.harmless import harmless
from wizard.screens.aids.spin_reader import SpinReader
from wizard.screens.layout import key_table
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.charset import plain
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.reading import recording_lines, spin_lines
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.pictures.cautions import Cautions

FRAME = 8
"""Lines of the screen that the sheet's title, head, message and keys take."""

_WIDE = 118


@dataclass(frozen=True, slots=True)
class SpinTaken:
    """What it ends with: the file, the SHA-256 of what was read of it, and what it says."""

    source: Path
    sha256: str
    spin: SpinRecord


class SpinPanel(Panel[SpinTaken]):
    """Two sheets: the file, and what it says. Ends with what was read, once that was looked at."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("rec-file", "spin-look", "spin-take")
    AUTO_FOCUS = ""
    TITLE_TEXT = "The recording of a spin"
    ABOUT = (
        "The recording of a spin",
        "Choose the file that the phone wrote: motion as CSV, or sound as WAV, FLAC, OGG or MP3; F2 to type its path, "
        "Tab completes it. It is read by itself, Esc leaves that. Then look at what it says: what it fills in, what it "
        "speaks for, and what it can't tell; Tab shows the pictures. Enter takes it into the job: the file is kept, "
        "the steps that it answers aren't asked, and each can be corrected (F7). Esc: another file.",
    )
    folder: ClassVar[Path | None] = None

    def __init__(
        self, controller: JobController, step: RecordStep, home: Path, cautions: Sequence[Caution] = ()
    ) -> None:
        super().__init__()
        self._controller, self._step, self._cautions = controller, step, cautions
        self._folders = (home, Path.cwd())
        self._reader = SpinReader(self, self.show, self.show, self._read)
        self._files: tuple[recording_lines.RecordingFacts, ...] = ()
        self._found: tuple[SpinRecord, str] | None = None
        self._pictures = False

    def body(self) -> ComposeResult:
        """Warnings, what to do, the field of the path, the files; what was read, in words and pictures."""
        yield Cautions(self._cautions)
        yield Static("", id="rec-says", markup=False)
        yield EntryField(id="rec-path")
        yield PickList(id="rec-rows")
        with VerticalScroll(id="spin-read"), Horizontal(id="spin-columns"):
            yield Static("", id="spin-words", markup=False)
            yield Static("", id="spin-drawn", markup=False)

    def on_mount(self) -> None:
        """The files of the folder used last, of the home folder's recordings, and of the current folder."""
        self.call_after_refresh(self._look)  # after the frame's own, which clears the message line

    def on_resize(self) -> None:
        """Lay it out anew."""
        if self.is_mounted:
            self.show()

    def here(self) -> tuple[str, ...]:
        """The keys of the sheet on top."""
        if self._reader.reading:
            return ()
        if self._found is not None:
            return (
                ("spin-take", "scroll")
                if self.app.size.width >= _WIDE
                else ("spin-take", "spin-look", "scroll")
            )
        return (
            ("rec-complete", "go")
            if self.query_one(EntryField).has_focus
            else ("cursor", "spin-read", "rec-file")
        )

    def on_descendant_focus(self) -> None:
        """Other keys work while the path is typed."""
        self.show_keys()

    def show(self) -> None:
        """The sheet on top: the files, how far the reading is, or what was read."""
        width, found = max(40, self.app.size.width - 4), self._found
        busy = self._reader.reading
        if busy:
            self.say("")
        for name, shown in (("#rec-path", not busy and found is None), ("#rec-rows", not busy and found is None),
                            ("#spin-read", found is not None and not busy)):  # fmt: skip
            self.query_one(name).display = shown
        says = "Which recording? The newest stands first. F2: type the path of another."
        if busy:
            says = (
                f"Reading {harmless(self._reader.source.name)} ... {self._reader.share:4.0%}. Esc leaves it."
            )
        elif found is not None:
            says = spin_lines.head(found[0], harmless(self._reader.source.name))
            _lay(self, self._controller.view, self._step, found[0], self._pictures)
        self.query_one("#rec-says", Static).update("\n".join(wrapped(says, width)))
        self.show_keys()

    def _look(self, folder: Path | None = None) -> None:
        """List the recordings of a folder that was named, else those of the folders that are known."""
        used = type(self).folder
        folders = (folder,) if folder else (used, *self._folders) if used else self._folders
        rows, field = self.query_one(PickList), self.query_one(EntryField)
        try:
            self._files = recording_lines.newest(folders, folder is not None, recording_lines.SPINS)
        except SteadfootError as problem:
            self.say(str(problem))
            return
        self._found = None
        rows.show([_file_line(f, self.app.size.width - 6) for f in self._files], 0)
        self.show()
        (rows if self._files else field).focus()
        self.say(
            "" if self._files else f"No recording in {self._folders[0]}, nor here. Type the path of one."
        )

    def action_file(self) -> None:
        """Type a path."""
        if self._found is None and not self._reader.reading:
            self.query_one(EntryField).focus()

    def action_look(self) -> None:
        """Complete a path that is typed; else pictures in place of the words, or the words again."""
        if self._found is not None:
            self._pictures = not self._pictures
            self.show()
            self.query_one("#spin-read").scroll_home(animate=False)
        elif self.query_one(EntryField).has_focus:
            field = self.query_one(EntryField)
            field.value, count = recording_lines.completed(field.value, recording_lines.SPINS)
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
        event.input.value = ""  # the next path is typed from nothing
        if not typed:
            self.query_one(PickList).focus()
        elif path.is_dir():
            self._look(path)
        else:
            self._reader.read(path, self._step.bearings)

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Read the marked file."""
        if not self._reader.reading and self._found is None:
            self._reader.read(self._files[event.index].path, self._step.bearings)

    def _read(self, found: tuple[SpinRecord, str] | str) -> None:
        """What was read, or what is wrong with it: then the files are there again, and nothing is lost."""
        if isinstance(found, str):
            self.show()
            self.say(found)
            (self.query_one(PickList) if self._files else self.query_one(EntryField)).focus()
            return
        type(self).folder, self._found, self._pictures = self._reader.source.parent, found, False
        self.show()
        self.query_one("#spin-read").focus()
        self.host.guard.arm()

    def action_take(self) -> None:
        """Take what was read."""
        if self._found is not None and not self._reader.reading:
            self.dismiss(SpinTaken(self._reader.source, self._found[1], self._found[0]))

    def action_back(self) -> None:
        """Leave what is being read, go back to the files, or leave the panel."""
        if self._reader.reading:
            self._reader.leave()
            self._look()
            self.say("Left.")
        elif self._found is not None:
            self._look()
        else:
            self.dismiss(None)


def _lay(panel: SpinPanel, view: JobView, step: RecordStep, record: SpinRecord, pictures: bool) -> None:
    """Words and pictures side by side where there is room, else the one that is looked at."""
    size = panel.app.size
    width, wide = max(40, size.width - 4), size.width >= _WIDE
    columns, run = (width - 3) // 2 if wide else width - 2, view.state.run
    inspection = view.flow.inspections[run.inspection] if run else None
    lines = spin_lines.words(view, inspection, step, record, columns) if inspection else []
    drawn = [
        *spin_lines.beside(view, step, record, columns, plain()),
        *spin_lines.pictures(record, columns, size.height - FRAME, plain()),
    ]
    for name, shown, there in (
        ("#spin-words", lines, wide or not pictures),
        ("#spin-drawn", drawn, wide or pictures),
    ):
        part = panel.query_one(name, Static)
        part.update("\n".join(shown))
        part.display, part.styles.width = there, columns + 1


def _file_line(file: recording_lines.RecordingFacts, width: int) -> Content:
    """A file: when it was written, how large it is, its name."""
    when = datetime.fromtimestamp(file.written, UTC).astimezone()
    return Content(f"{when:%Y-%m-%d %H:%M}  {size_words(file.size):>7}  {harmless(file.path.name)}"[:width])
