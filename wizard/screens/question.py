"""A step that is answered by a key: tell, look, choose, or tick several."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.screens import keys
from wizard.screens.fit import fit, stack
from wizard.screens.prose import step_lines
from wizard.screens.stepscreen import StepScreen
from wizard.screens.widgets.answers import Row, answer_lines, digits, in_order


class QuestionScreen(StepScreen):
    """One question, its answers on digits."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings("digits", "go", at_once=True)
    ABOUT = (
        "A step of an inspection",
        "Read the warning, do what is asked, and answer with the digit. Where several may be ticked, digits tick "
        "and Enter goes on. What you answer is on the disk before the next question shows.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._ticked: frozenset[str] = frozenset()
        self._asked: tuple[int, str, int] = (0, "", 0)

    def body(self) -> ComposeResult:
        """Words on the left; drawing and ranking on the right."""
        with Horizontal(id="columns"):
            yield Static(id="words")
            yield from self.side()

    def here(self) -> tuple[str, ...]:
        """Digits or Enter, undo, can't, and the drawing where it isn't in sight."""
        step = self.step
        ticks = (f"digits:{','.join(_plain_digits(step.answers))}", "go")
        first = ("done",) if step.kind == "tell" else ticks if step.many else (f"digits:{len(step.answers)}",)
        return (*first, "undo", "unable", *self.picture_key())

    def project(self) -> None:
        """Lay the words out, with the drawing beside them if both fit."""
        asked = (self.run.id, self.step.id, self.desk.state.seq)
        if asked != self._asked:
            self._ticked, self._asked = frozenset(), asked
        columns, lines = self.room
        layout = fit(self.words, columns - self.margin, lines, self.picture_width())
        self.show_side(layout.beside)
        self.query_one("#words", Static).update(Content("\n").join(layout.lines))

    def words(self, width: int, airy: bool) -> Sequence[Content]:
        """All lines of the step for a width."""
        warnings, do, expect = step_lines(self.desk.flow, self.desk.state, width)
        return stack(warnings, do, expect, answer_lines(self.rows(), width, airy))

    def rows(self) -> list[Row]:
        """The answers with their keys."""
        step = self.step
        if step.kind == "tell":
            return [Row("Enter", "Done")]
        shown = in_order(step)
        rows = [
            Row(digit, a.says, a.id in self._ticked if step.many else None)
            for digit, a in zip(
                digits(len(shown)) if not step.many else _plain_digits(shown), shown, strict=True
            )
        ]
        if step.many:
            rows.append(Row("Enter", "That is all I see" if self._ticked else "None of these"))
        return rows

    def action_digit(self, digit: int) -> None:
        """Give the answer with this digit, or tick it."""
        step = self.step
        shown = in_order(step)
        numbers = _plain_digits(shown) if step.many else digits(len(shown))
        if self.host.guard.early():
            return
        if step.kind == "tell" or str(digit) not in numbers:
            self.host.say(keys.wrong_digit(digit, self.here()))
            return
        chosen = shown[numbers.index(str(digit))].id
        if step.many:
            self._ticked = self._ticked ^ {chosen}
            self.project()
        else:
            self.host.act(cmd.Answer(self.run.id, step.id, chosen))

    def action_go(self) -> None:
        """Go on after a tell, or with what is ticked."""
        step = self.step
        if self.host.guard.early():
            return
        if step.kind == "tell":
            self.host.act(cmd.Answer(self.run.id, step.id, step.answers[0].id))
        elif step.many:
            ticked = "+".join(a.id for a in step.answers if a.id in self._ticked) or "none"
            self.host.act(cmd.Answer(self.run.id, step.id, ticked))


def _plain_digits(shown: Sequence[object]) -> tuple[str, ...]:
    return tuple(str(n + 1) for n in range(len(shown)))
