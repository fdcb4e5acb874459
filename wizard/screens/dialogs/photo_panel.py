"""A photo at the step on screen: a folder, its newest photo first, and a caption."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, Static

from wizard.errors import UsageError
from wizard.foreign.file_reader import size_words, typed_path
from wizard.foreign.harmless import harmless
from wizard.screens.dialogs.prompts import AskText
from wizard.screens.layout.controller import Act, Attach, JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.shared_sentences import CAPTION, WHAT_PHOTO
from wizard.screens.viewmodels.photo_files import Photo, newest
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import PickList


class PhotoPanel(Panel[Act]):
    """Ends with Attach. The folder is kept for the next photo of this run of the program."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("f2", "folder", "another folder", show=False)]
    HERE = ("cursor", "go", "folder")
    TITLE_TEXT = "A photo"
    ABOUT = (
        "A photo",
        "The newest photo of the folder stands first: take it with Enter, then write what it shows. The file is copied "
        "into the session with its SHA-256, so that nobody can change it later. F2 names another folder, such as the "
        "one that a phone is plugged in as.",
    )
    folder: ClassVar[Path | None] = None

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._photos: tuple[Photo, ...] = ()

    def body(self) -> ComposeResult:
        """The folder and its photos."""
        yield Static("Folder with the photos:", markup=False, id="photo-says")
        yield EntryField(str(type(self).folder or pictures()), id="photo-folder")
        yield PickList(id="photo-rows")

    def on_mount(self) -> None:
        """Look into the folder that was used last, or the one for pictures."""
        super().on_mount()
        self._look(self.query_one(EntryField).value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Look into the folder that was typed."""
        self._look(event.value)

    def action_folder(self) -> None:
        """Type another folder."""
        self.query_one(EntryField).focus()
        self.show_keys()

    def _look(self, typed: str) -> None:
        try:
            folder = typed_path(typed.strip())
            self._photos = newest(folder)
        except UsageError as problem:
            self._photos = ()
            self.say(str(problem))
        else:
            type(self).folder = folder
            self.say("" if self._photos else f"{folder}: no photo in this folder.")
        rows = self.query_one(PickList)
        rows.show([photo_line(p) for p in self._photos], 0)
        (rows if self._photos else self.query_one(EntryField)).focus()
        self.show_keys()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Take the marked row."""
        photo = self._photos[event.index]
        ask = AskText(WHAT_PHOTO, f"{harmless(photo.path.name)}. {CAPTION}", empty=True)
        self.app.push_screen(ask, lambda caption: self._kept(photo, caption))

    def _kept(self, photo: Photo, caption: str | None) -> None:
        if caption is not None:
            self.dismiss(Attach(photo.path, caption))


def photo_line(photo: Photo) -> Content:
    """A photo: when it was taken, how large it is, its name."""
    when = datetime.fromtimestamp(photo.written, UTC).astimezone()
    return Content(f"{when:%Y-%m-%d %H:%M}  {size_words(photo.size):>7}  {harmless(photo.path.name)}")


def pictures() -> Path:
    """The folder where this computer keeps pictures."""
    from platformdirs import user_pictures_path

    return user_pictures_path()
