"""A step that takes the recording of a spin, by lines: its file by path, what it says, and taking it."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.flow.model import RecordStep
from wizard.foreign.harmless import harmless
from wizard.lines.inquiry.file_choice import chosen_file
from wizard.lines.scenes.step_scene import StepLines
from wizard.lines.terminal.line_asking import one_of
from wizard.lines.terminal.typed_number import echoed
from wizard.screens.aids.spin_reading import read_spin
from wizard.screens.layout.controller import AttachSpin
from wizard.screens.viewmodels.questions import YesReply
from wizard.screens.viewmodels.reading import recording_lines, spin_lines

WIDE = 9999


class RecordLines(StepLines):
    """Its one answer is the file of a recording."""

    ABOUT = (
        "Do what is asked, put the file where this computer finds it (the folder recordings in the home folder is "
        "listed), and name it. What it says comes before it is taken. No file, or one that can't be read: x says "
        "why, and what it would have filled in is asked."
    )

    @property
    def prompt(self) -> str:
        """Enter alone."""
        return "Enter names the file of the recording, x if there is none"

    def take(self, text: str) -> None:
        """Ask for the file, read it, and take it once what it says was looked at."""
        if text:
            self.say(f"There is no {echoed(text)} here: press Enter to name the file, or type x.")
        elif not self.hurried():
            self.host.nested(self._file)

    def _file(self) -> None:
        current, talk = self.current, self.host.talk
        step = current.step
        assert isinstance(step, RecordStep)
        source = chosen_file(
            talk,
            "a recording",
            self.host.store.home.recordings,
            lambda folder: recording_lines.newest((folder,), True, recording_lines.SPINS),
        )
        if source is None:
            return
        self.say("Reading it. This may take a while.")
        found = read_spin(source, step.bearings)
        if isinstance(found, str):
            self.say(found)
            return
        record, sha256 = found
        self.say(spin_lines.head(record, harmless(source.name)))
        talk.rows(spin_lines.words(self.controller.view, current.inspection, step, record, WIDE))
        choices = ((YesReply.YES, "Take what it says into the job"), (YesReply.NO, "Leave it"))
        if one_of(talk, choices) == YesReply.YES:
            command = cmd.TakeSpin(current.run.id, step.id, record, source.name)
            self.host.act(AttachSpin(source, sha256, command))
