"""A step that is answered by a number: tell, look, choose, or tick several."""

from __future__ import annotations

from wizard.domain.vocabulary import StepKind
from wizard.engine.messages import commands as cmd
from wizard.lines.scenes.step_scene import StepLines
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.typed_number import echoed, number_in, span
from wizard.screens.text.answer_numbering import Numbered, numbering, repeated
from wizard.screens.viewmodels.step.answer_rows import answer_rows, marked_words


class QuestionLines(StepLines):
    """One question, its answers by number."""

    ABOUT = (
        "Read the warning, do what is asked, and type the number of the answer. Where several may be ticked, type "
        "all their numbers, and Enter alone goes on. An answer that stops work says so. What you answer is on the "
        "disk before the next question is asked."
    )

    def __init__(self, host: LineHost) -> None:
        super().__init__(host)
        self._ticked: frozenset[str] = frozenset()
        self._asked: tuple[int, str, int] = (0, "", 0)
        self._marked: tuple[str, ...] = ()

    @property
    def numbered(self) -> tuple[Numbered, ...]:
        """The answers in their order, each with its number."""
        return numbering(self.controller.view)

    @property
    def prompt(self) -> str:
        """The numbers, and what Enter does."""
        step, numbers = self.current.step, span(len(self.numbered))
        if self._marked:
            return f"Enter gives it, or another answer, {numbers}"
        if step.kind is StepKind.TELL:
            return "Enter when it is done"
        return f"Numbers to tick, {numbers}, Enter goes on" if step.many else f"Answer, {numbers}"

    def show(self) -> None:
        """The step; what is known of several answers is ticked."""
        current = self.current
        asked = (current.run.id, current.step.id, self.controller.state.seq)
        if asked != self._asked:
            self._ticked, self._asked, self._marked = current.known, asked, ()
        super().show()

    def answers(self) -> None:
        """The answers; what stops work stands apart, and says so."""
        step = self.current.step
        if step.kind is StepKind.TELL:
            return
        stopping = False
        for row in answer_rows(self.controller.view, step, self._ticked):
            if row.stops and not stopping:
                self.host.talk.out.gap()
            stopping = row.stops
            ticked = "ticked: " if row.ticked else ""
            self.say(row.says, f"{row.key}: {'stops work: ' if row.stops else ''}{ticked}")

    def take(self, text: str) -> None:
        """Give the answer with this number, or tick those of these numbers; Enter alone goes on."""
        step, shown = self.current.step, self.numbered
        if not text:
            self._enter()
            return
        if step.kind is StepKind.TELL:
            self.say(f"There is no {echoed(text)} here: press Enter when it is done.")
            return
        numbers = [number_in(each, len(shown)) for each in text.replace(",", " ").split()]
        if not all(numbers) or (len(numbers) > 1 and not step.many):
            more = " Several may stand on the line." if step.many else ""
            self.say(f"There is no {echoed(text)} here: type {span(len(shown))}.{more}")
        elif step.many:
            self._tick(frozenset(shown[n - 1].answer.id for n in numbers))
        else:
            self._choose(shown[numbers[0] - 1].answer.id)

    def _tick(self, chosen: frozenset[str]) -> None:
        """Tick these, or untick those that are."""
        self._ticked = self._ticked ^ chosen
        rows = answer_rows(self.controller.view, self.current.step, self._ticked)
        ticked = [f"{row.key}, {row.says}" for row in rows if row.ticked]
        enter = next((row.says for row in rows if row.key == "Enter"), "")
        self.say(f"Ticked: {'; '.join(ticked) or 'nothing'}." + (f" Enter: {enter}." if enter else ""))

    def _choose(self, chosen: str) -> None:
        """Give the answer; where its number answered the step before as well, mark it: Enter gives it."""
        again = repeated(self.controller.view)
        if again is None or again.answer.id != chosen:
            self._give((chosen,))
        elif not self.hurried():
            self._marked = (chosen,)
            self.say(marked_words(again))

    def _enter(self) -> None:
        """Go on after a tell, with what is ticked, or with what is marked."""
        step = self.current.step
        if self._marked:
            self._give(self._marked)
        elif step.kind is StepKind.TELL:
            self._give((step.answers[0].id,))
        elif step.many:
            self._give(tuple(n.answer.id for n in self.numbered if n.answer.id in self._ticked))
        else:
            self.say(f"Nothing is typed: type {span(len(self.numbered))}.")

    def _give(self, chosen: tuple[str, ...]) -> None:
        """Give an answer, once the step can have been read."""
        if not self.hurried():
            current = self.current
            self.host.act(cmd.GiveAnswer(current.run.id, current.step.id, chosen))
