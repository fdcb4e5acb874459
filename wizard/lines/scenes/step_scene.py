"""What the scenes of a step share: its place, why it is asked, its warnings before what to do, its least time."""

from __future__ import annotations

from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import EVERYWHERE, LineWord
from wizard.screens.dialogs.left_out_prompts import ask_left_out
from wizard.screens.text.step_place import WHOLE, step_words
from wizard.screens.text.step_sentences import EXPECT, LAST_KNOWN, NOT_KNOWN_NOW, WAIT, step_sentences
from wizard.screens.viewmodels.step.current_step import CurrentStep, current_step, too_early


class StepLines(LineScene):
    """A step that is open."""

    also = (*EVERYWHERE, LineWord.ADVICE, LineWord.EXPLAIN)

    @property
    def current(self) -> CurrentStep:
        """The step on hand."""
        return current_step(self.controller.view)

    @property
    def own(self) -> Own:
        """It can't be done, and what every scene has."""
        return {**super().own, LineWord.UNABLE: self._unable}

    def show(self) -> None:
        """The step, its warnings first."""
        current, view = self.current, self.controller.view
        title, place, way = step_words(view, WHOLE)
        self.head(title, place)
        if way:
            self.say(f"Asked for: {way}.")
        says = step_sentences(view, current.other_system(self.host.system), self.controller.wait_left)
        for caution in says.cautions:
            self.say(f"{caution.word.upper()}: {caution.says}")
        for label, text in (
            (WAIT, says.wait),
            (NOT_KNOWN_NOW, says.not_known),
            (LAST_KNOWN, says.last_known),
            ("Do:", says.do),
            (EXPECT, says.expect),
        ):
            if text:
                self.say(f"{label} {text}")
        self.answers()
        self.host.watch.counted()
        self.host.guard.ask(current.asked, current.seconds)

    def answers(self) -> None:
        """What may be answered."""

    def hurried(self) -> bool:
        """True, and said, while the words of a step that keeps people safe can't have been read yet."""
        why = too_early(self.current, self.host.guard.unread, False)
        if why:
            self.say(why)
        return bool(why)

    def _unable(self, _text: str) -> None:
        """It can't be done, or its part is not fitted: ask which, and why."""
        ask_left_out(self.host, self.current)
