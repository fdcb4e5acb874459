"""A step that takes the recording of a spin: what to do, and the panel in which its file is chosen and looked at."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import BindingType

from wizard.engine.messages import commands as cmd
from wizard.flow.model import RecordStep
from wizard.screens.aids.spin_panel import SpinPanel, SpinTaken
from wizard.screens.job.question_screen import QuestionScreen
from wizard.screens.layout import key_table
from wizard.screens.layout.controller import AttachSpin
from wizard.screens.text.step_sentences import cautions_of
from wizard.screens.viewmodels.step.answer_rows import AnswerRow


class RecordScreen(QuestionScreen):
    """Its one answer is the file of a recording."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("spin-file", at_once=True)
    ABOUT = (
        "A recording of a spin",
        "Do what is asked, put the file where this computer finds it (the folder recordings in the home folder stands "
        "first), and choose it with Enter. What it says is shown before it is taken. No file, or one that can't be "
        "read: F4 says why, and what it would have filled in is asked.",
    )

    def here(self) -> tuple[str, ...]:
        """Enter for the file, undo, can't, and the drawing where it isn't in sight."""
        return ("spin-file", "undo", "unable", *self.sight.picture_key)

    def rows(self) -> list[AnswerRow]:
        """The one thing to do."""
        return [AnswerRow("Enter", "Choose the file of the recording")]

    def action_digit(self, digit: int) -> None:
        """No digit answers."""
        self.host.say(key_table.wrong_digit(digit, self.here()))

    def action_go(self) -> None:
        """Open the panel of the files; what it ends with is kept and taken."""
        current = self.current
        step = current.step
        if self.hurried() or not isinstance(step, RecordStep):
            return

        def take(ended: SpinTaken) -> None:
            command = cmd.TakeSpin(current.run.id, step.id, ended.spin, ended.source.name)
            self.host.act(AttachSpin(ended.source, ended.sha256, command))

        warned = cautions_of(current.inspection, step, False)
        self.host.ask(SpinPanel(self.controller, step, self.host.store.home.recordings, warned), take)
