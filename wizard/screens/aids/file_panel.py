"""A sheet on which a recording is chosen: the newest files of known folders, or a path that is typed."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import ClassVar, Protocol, TypeVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input

from wizard.errors import SteadfootError, UsageError
from wizard.foreign.file_reader import size_words, typed_path
from wizard.foreign.harmless import harmless
from wizard.screens.layout.panel import Panel
from wizard.screens.viewmodels.reading import recording_lines
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList

T = TypeVar("T")


class FileReading(Protocol):
    """What reads a file in a thread: whether it is at it, and leaving it."""

    reading: bool

    def leave(self) -> None:
        """Leave what is being read."""
        ...


class FilePanel(Panel[T]):
    """The base of the panels that read a recording. A subclass reads a file (``read``), says whether one ``opened``
    stands on top, forgets it (``forget``), and draws itself (``show``).
    """

    AUTO_FOCUS = ""
    SUFFIXES: ClassVar[frozenset[str]] = recording_lines.SUFFIXES
    NONE: ClassVar[str] = "No CSV"
    folder: ClassVar[Path | None] = None
    reader: FileReading

    def __init__(self, home: Path) -> None:
        super().__init__()
        self._folders = (home, Path.cwd())
        self._files: tuple[recording_lines.RecordingFacts, ...] = ()

    @property
    def opened(self) -> bool:
        """Whether a file that was read stands on top."""
        raise NotImplementedError

    def forget(self) -> None:
        """Go back to the files."""
        raise NotImplementedError

    def read(self, path: Path) -> None:
        """Read a file."""
        raise NotImplementedError

    def show(self) -> None:
        """Draw what stands on top."""
        raise NotImplementedError

    def entries(self) -> ComposeResult:
        """The field of the path, and the rows."""
        yield EntryField(id="rec-path")
        yield PickList(id="rec-rows")

    def on_mount(self) -> None:
        """The files of the folder used last, of the home folder's recordings, and of the current folder."""
        self.call_after_refresh(self.look)  # after the frame's own, which clears the message line

    def on_descendant_focus(self) -> None:
        """Other keys work while the path is typed."""
        self.show_keys()

    def look(self, folder: Path | None = None) -> None:
        """List the recordings of a folder that was named, else those of the folders that are known; wait for one to
        be taken, or for a path.
        """
        used = type(self).folder
        folders = (folder,) if folder else (used, *self._folders) if used else self._folders
        try:
            self._files = recording_lines.newest(folders, folder is not None, self.SUFFIXES)
        except SteadfootError as problem:
            self.say(str(problem))
            return
        self.forget()
        width = self.app.size.width - 6
        self.query_one(PickList).show([_file_line(f, width) for f in self._files], 0)
        self.show()
        self.to_files()
        self.say("" if self._files else f"{self.NONE} in {self._folders[0]}, nor here. Type the path of one.")

    def to_files(self) -> None:
        """The keys go to the rows, or to the field where there is no row."""
        (self.query_one(PickList) if self._files else self.query_one(EntryField)).focus()

    def action_file(self) -> None:
        """Type a path."""
        if not self.opened and not self.reader.reading:
            self.query_one(EntryField).focus()

    def action_complete(self) -> None:
        """Complete the path as far as it is certain."""
        field = self.query_one(EntryField)
        if not field.has_focus:
            return
        field.value, count = recording_lines.completed(field.value, self.SUFFIXES)
        field.cursor_position = len(field.value)
        self.say({0: "Nothing begins so.", 1: ""}.get(count, f"{count} names begin so."))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Read the file that was typed, or list the folder; with nothing typed, back to the rows."""
        typed = event.value.strip().strip('"')
        if self.reader.reading:
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
            self.look(path)
        else:
            self.read(path)

    def action_back(self) -> None:
        """Leave what is being read, go back to the files, or leave the panel."""
        if self.reader.reading:
            self.reader.leave()
            self.left()
            self.say("Left.")
        elif self.opened:
            self.look()
        else:
            self.dismiss(None)

    def left(self) -> None:
        """What stands there after a reading was left."""
        self.look()


def _file_line(file: recording_lines.RecordingFacts, width: int) -> Content:
    """A file: when it was written, how large it is, its name."""
    when = datetime.fromtimestamp(file.written, UTC).astimezone()
    return Content(f"{when:%Y-%m-%d %H:%M}  {size_words(file.size):>7}  {harmless(file.path.name)}"[:width])
