"""The recording of a spin: which file it is, and what it says before it is taken into the job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from wizard.engine.measuring.offered_setting import offered_setting
from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.messages.spin_setting import SpinSetting
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Caution, RecordStep
from wizard.foreign.harmless import harmless
from wizard.screens.aids.file_panel import FilePanel
from wizard.screens.aids.recording_reader import RecordingReader
from wizard.screens.aids.spin_reading import read_spin
from wizard.screens.layout import key_table
from wizard.screens.layout.controller import JobController
from wizard.screens.text.charset import plain
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.questions import Question
from wizard.screens.viewmodels.reading import recording_lines, setting_questions, spin_lines
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


class SpinPanel(FilePanel[SpinTaken]):
    """Two sheets: the file, and what it says. Ends with what was read, once that was looked at."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "rec-file", "spin-look", "spin-load", "spin-place", "spin-plate", "spin-bearing", "spin-take"
    )
    SUFFIXES = recording_lines.SPINS
    NONE = "No recording"
    TITLE_TEXT = "The recording of a spin"
    ABOUT = (
        "The recording of a spin",
        "Choose the file that the phone wrote: motion as CSV, sound as WAV, FLAC, OGG or MP3, or a video with sound; "
        "F2 to type its path, Tab completes it. It is read by itself, Esc leaves that. Then look at what it says: "
        "what it fills in, what it speaks for, and what it can't tell; Tab shows the pictures. Say what was in the "
        "drum (l) and where the phone lay (o): only like is set beside like. The plate's top speed (p) and the number"
        " of the drum's bearing (b), if you read them, make it surer. Enter takes it into the job: the file is kept, "
        "the steps that it answers aren't asked, and each can be corrected (F7). Esc: another file.",
    )

    def __init__(
        self, controller: JobController, step: RecordStep, home: Path, cautions: Sequence[Caution] = ()
    ) -> None:
        super().__init__(home)
        self._controller, self._step, self._cautions = controller, step, cautions
        self.reader: RecordingReader[tuple[SpinRecord, str]] = RecordingReader(self, self.show, self._read)
        self._found: tuple[SpinRecord, str] | None = None
        self._setting = offered_setting(controller.state, step)
        self._pictures = False

    def body(self) -> ComposeResult:
        """Warnings, what to do, the field of the path, the files; what was read, in words and pictures."""
        yield Cautions(self._cautions)
        yield Static("", id="rec-says", markup=False)
        yield from self.entries()
        with VerticalScroll(id="spin-read"), Horizontal(id="spin-columns"):
            yield Static("", id="spin-words", markup=False)
            yield Static("", id="spin-drawn", markup=False)

    def on_resize(self) -> None:
        """Lay it out anew."""
        if self.is_mounted:
            self.show()

    @property
    def opened(self) -> bool:
        """Whether what a file says stands on top."""
        return self._found is not None

    def forget(self) -> None:
        """Go back to the files. Load and place of one are not said of the next; plate and bearing are the machine's."""
        self._found, offered = None, offered_setting(self._controller.state, self._step)
        self._setting = replace(self._setting, load=offered.load, place=offered.place)

    def here(self) -> tuple[str, ...]:
        """The keys of the sheet on top."""
        if self.reader.reading:
            return ()
        if self._found is not None:
            looks = () if self.app.size.width >= _WIDE else ("spin-look",)
            return ("spin-take", *looks, "spin-load", "spin-place", "spin-plate", "spin-bearing", "scroll")
        return (
            ("rec-complete", "go")
            if self.query_one(EntryField).has_focus
            else ("cursor", "spin-read", "rec-file")
        )

    def show(self) -> None:
        """The sheet on top: the files, how far the reading is, or what was read."""
        width, found = max(40, self.app.size.width - 4), self._found
        busy, name = self.reader.reading, harmless(self.reader.source.name)
        if busy:
            self.say("")
        for part, shown in (("#rec-path", not busy and found is None), ("#rec-rows", not busy and found is None),
                            ("#spin-read", found is not None and not busy)):  # fmt: skip
            self.query_one(part).display = shown
        says = "Which recording? The newest stands first. F2: type the path of another."
        if busy:
            says = f"Reading {name} ... {self.reader.share:4.0%}. Esc leaves it."
        elif found is not None:
            says = spin_lines.head(found[0], name)
            _lay(self, self._controller.view, self._step, found[0], self._pictures)
        self.query_one("#rec-says", Static).update("\n".join(wrapped(says, width)))
        self.show_keys()

    def action_look(self) -> None:
        """Complete a path that is typed; else pictures in place of the words, or the words again."""
        if self._found is None:
            self.action_complete()
            return
        self._pictures = not self._pictures
        self.show()
        self.query_one("#spin-read").scroll_home(animate=False)

    def action_setting(self, what: str) -> None:
        """Say another load or place at once, or ask for plate or bearing, by which it is read anew."""
        if self._found is None or self.reader.reading:
            return
        if what in _NEXT:
            self._setting = _NEXT[what](self._setting)
            self._found = (replace(self._found[0], setting=self._setting), self._found[1])
            self.show()
            return
        question, changed = _ASKED[what]

        def typed(text: str) -> None:
            self._setting = changed(self._setting, text)
            self.read(self.reader.source)

        self.host.put(question(self._setting), typed)

    def read(self, path: Path) -> None:
        """Read a file, by what was said of it so far."""
        step, setting = self._step, self._setting
        self.reader.read(path, lambda source, share: read_spin(source, step, setting, share))

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Read the marked file."""
        if not self.reader.reading and self._found is None:
            self.read(self._files[event.index].path)

    def _read(self, found: tuple[SpinRecord, str] | str) -> None:
        """What was read, or what is wrong with it: then the files are there again, and nothing is lost."""
        if isinstance(found, str):
            self.look()
            self.say(found)
            return
        type(self).folder, self._found, self._pictures = self.reader.source.parent, found, False
        self._setting = found[0].setting
        self.show()
        self.query_one("#spin-read").focus()
        self.host.guard.arm()

    def action_take(self) -> None:
        """Take what was read."""
        if self._found is not None and not self.reader.reading:
            self.dismiss(SpinTaken(self.reader.source, self._found[1], self._found[0]))


_NEXT: Mapping[str, Callable[[SpinSetting], SpinSetting]] = {
    "load": setting_questions.next_load,
    "place": setting_questions.next_place,
}
_ASKED: Mapping[
    str, tuple[Callable[[SpinSetting], Question[str]], Callable[[SpinSetting, str], SpinSetting]]
] = {
    "plate": (setting_questions.plate_question, setting_questions.with_plate),
    "bearing": (setting_questions.bearing_question, setting_questions.with_bearing),
}


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
