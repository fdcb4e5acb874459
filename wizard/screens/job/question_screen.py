"""A step that is answered by a key: tell, look, choose, or tick several."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.domain.vocabulary import StepKind
from wizard.engine.messages import commands as cmd
from wizard.screens.job.step_screen import StepScreen
from wizard.screens.layout import key_table
from wizard.screens.text.answer_numbering import Numbered, numbering, repeated
from wizard.screens.text.columns import packed
from wizard.screens.text.step_text import question_lines
from wizard.screens.viewmodels.step.answer_rows import AnswerRow, answer_rows, marked_words
from wizard.screens.widgets.entry.answer_list import answer_lines


class QuestionScreen(StepScreen):
    """One question, its answers on digits."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("digits", "go", at_once=True)
    ABOUT = (
        "A step of an inspection",
        "Read the warning, do what is asked, and answer with the digit. Where several may be ticked, digits tick "
        "and Enter goes on; what is known isn't asked again. An answer that stops work stands apart, with a "
        "bar before it. What you answer is on the disk before the next question shows.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._ticked: frozenset[str] = frozenset()
        self._asked: tuple[int, str, int] = (0, "", 0)
        self._marked: tuple[str, ...] = ()

    def here(self) -> tuple[str, ...]:
        """Digits or Enter, undo, can't, and the drawing where it isn't in sight."""
        step = self.current.step
        numbers = f"digits:{','.join(n.digit for n in self.numbered)}"
        enter = step.many or self._marked
        first = ("done",) if step.kind is StepKind.TELL else (numbers, "go") if enter else (numbers,)
        return (*first, "undo", "unable", *self.sight.picture_key)

    @property
    def numbered(self) -> tuple[Numbered, ...]:
        """The answers of the step in their order on screen, each with its digit."""
        return numbering(self.controller.view)

    def project(self) -> None:
        """Lay the words out, with the drawing beside them if both fit."""
        current = self.current
        asked = (current.run.id, current.step.id, self.controller.state.seq)
        if asked != self._asked:
            self._ticked, self._asked, self._marked = current.known, asked, ()
        lines = self.room.lines
        page = self.lay(self.words, lambda _width: lines)
        self.query_one("#words", Static).update(Content("\n").join(packed(page.layout.lines, lines)))

    def words(self, width: int, airy: bool) -> Sequence[Content]:
        """All lines of the step for a width."""
        answers = answer_lines(self.rows(), width, airy)
        return question_lines(
            self.controller.view, answers, width, self.room.lines, self.controller.wait_left
        )

    def rows(self) -> list[AnswerRow]:
        """The answers with their keys."""
        return answer_rows(self.controller.view, self.current.step, self._ticked)

    def action_digit(self, digit: int) -> None:
        """Give the answer with this digit, or tick it."""
        chosen = next((n.answer.id for n in self.numbered if n.digit == str(digit)), None)
        if chosen is None:
            self.host.say(key_table.wrong_digit(digit, self.here()))
        elif self.current.step.many:
            self._ticked = self._ticked ^ {chosen}
            self.project()
        else:
            self._choose(chosen)

    def _choose(self, chosen: str) -> None:
        """Give the answer; where its digit answered the step before as well, mark it: Enter gives it."""
        again = repeated(self.controller.view)
        if again is None or again.answer.id != chosen:
            self._give((chosen,))
            return
        if self.hurried():
            return
        self._marked = (chosen,)
        self.show_keys()
        self.host.say(marked_words(again))

    def action_go(self) -> None:
        """Go on after a tell, with what is ticked, or with what is marked."""
        step = self.current.step
        if self._marked:
            self._give(self._marked)
            return
        if step.kind is StepKind.TELL:
            self._give((step.answers[0].id,))
        elif step.many:
            self._give(tuple(n.answer.id for n in self.numbered if n.answer.id in self._ticked))

    def _give(self, chosen: tuple[str, ...]) -> None:
        """Give an answer, once the step can have been read."""
        if not self.hurried():
            current = self.current
            self.host.act(cmd.GiveAnswer(current.run.id, current.step.id, chosen))
