"""A step that takes the recording of a spin, by lines: its file by path, what it says, and taking it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from wizard.domain.recording_vocabulary import DrumLoad, RecordingPlace
from wizard.engine.measuring.offered_setting import offered_setting
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.spin_setting import LOADS, PLACES, SpinSetting
from wizard.flow.model import RecordStep
from wizard.foreign.harmless import harmless
from wizard.lines.inquiry.file_choice import chosen_file
from wizard.lines.scenes.step_scene import StepLines
from wizard.lines.terminal.line_asking import ask, one_of
from wizard.lines.terminal.talk import Talk
from wizard.lines.terminal.typed_number import echoed
from wizard.screens.aids.spin_reading import read_spin
from wizard.screens.layout.controller import AttachSpin
from wizard.screens.viewmodels.questions import YesReply
from wizard.screens.viewmodels.reading import recording_lines, setting_questions, spin_lines

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
        self._look(source, step, offered_setting(self.controller.state, step))

    def _look(self, source: Path, step: RecordStep, setting: SpinSetting) -> None:
        """Read it by what was said of it, say what it says, and take it, leave it, or say otherwise of it."""
        self.say("Reading it. This may take a while.")
        found = read_spin(source, step, setting)
        while not isinstance(found, str):
            record, sha256 = found
            self.say(spin_lines.head(record, harmless(source.name)))
            view, inspection = self.controller.view, self.current.inspection
            self.host.talk.rows(spin_lines.words(view, inspection, step, record, WIDE))
            done = one_of(self.host.talk, _CHOICES)
            if done == YesReply.YES:
                command = cmd.TakeSpin(self.current.run.id, step.id, record, source.name)
                self.host.act(AttachSpin(source, sha256, command))
            if done not in _SAID:
                return
            said = _SAID[done](self.host.talk, record.setting)
            if said is None or said == record.setting:
                continue
            if (said.plate_rpm, said.bearing) == (record.setting.plate_rpm, record.setting.bearing):
                found = replace(record, setting=said), sha256
            else:
                self.say("Reading it again.")
                found = read_spin(source, step, said)
        self.say(found)


def _load(talk: Talk, setting: SpinSetting) -> SpinSetting | None:
    chosen = one_of(talk, [(str(load), LOADS[load]) for load in DrumLoad], str(setting.load))
    return replace(setting, load=DrumLoad(chosen)) if chosen else None


def _place(talk: Talk, setting: SpinSetting) -> SpinSetting | None:
    chosen = one_of(talk, [(str(place), PLACES[place]) for place in RecordingPlace], str(setting.place))
    return replace(setting, place=RecordingPlace(chosen)) if chosen else None


def _plate(talk: Talk, setting: SpinSetting) -> SpinSetting | None:
    typed = ask(talk, setting_questions.plate_question(setting))
    return None if typed is None else setting_questions.with_plate(setting, typed)


def _bearing(talk: Talk, setting: SpinSetting) -> SpinSetting | None:
    typed = ask(talk, setting_questions.bearing_question(setting))
    return None if typed is None else setting_questions.with_bearing(setting, typed)


_CHOICES = (
    (YesReply.YES, "Take what it says into the job"),
    (YesReply.NO, "Leave it"),
    ("load", "Another load in the drum"),
    ("place", "Another place of the phone"),
    ("plate", "The top speed on the plate: it is read again"),
    ("bearing", "The drum's bearing: it is read again"),
)
_SAID: Mapping[str | None, Callable[[Talk, SpinSetting], SpinSetting | None]] = {
    "load": _load,
    "place": _place,
    "plate": _plate,
    "bearing": _bearing,
}
