"""One question, one line: what came before the question was there, or too soon behind it, is dropped, and said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress

from wizard.foreign.harmless import inert
from wizard.lines.terminal.line_input import InputOver, LineSource, TypedLine
from wizard.lines.terminal.line_output import LineOutput
from wizard.screens.layout.key_guard import DEAF, LONGEST, WHOLE

BEAT = 5.0
"""Seconds between two looks at the clock while nothing is typed."""


class QuestionChanged(Exception):
    """The question that is read for is no longer the one to ask: less is known of the machine than before."""


class Talk:
    """Writes and reads. ``beat`` is called while nothing comes; ``heard`` with each line that is taken, and may say
    that it goes nowhere. ``echoed``: the terminal shows what is typed. ``moment``: when the last line came;
    ``timing``: the moments of the lines are what is measured, so none of them is too quick.
    """

    def __init__(
        self, out: LineOutput, source: LineSource, mono: Callable[[], float], echoed: bool = False
    ) -> None:
        self.out, self._source, self._mono, self._echoed = out, source, mono, echoed
        self.beat: Callable[[], None] = lambda: None
        self.heard: Callable[[str], bool] = lambda _text: True
        self.every, self.moment, self.timing = BEAT, mono(), False

    def say(self, text: str, lead: str = "") -> None:
        """Write a paragraph."""
        self.out.say(text, lead)

    def read(self, prompt: str) -> str:
        """Ask for a line and return it, stripped. InputOver at the end of input."""
        while True:
            line = self._one(prompt)
            if line is not None and self.heard(line):
                return line

    def _one(self, prompt: str) -> str | None:
        """The first line that was typed to the prompt; None where what came was dropped."""
        self.out.ask(prompt)
        shown, quiet = self._mono(), 0.0 if self.timing else DEAF
        if not self.timing and (early := self._source.waiting()):
            self._dropped(early)
            return None
        while (line := self._source.next(self.every)) is None:
            self.beat()
            if not self.out.asking:  # Something was said meanwhile.
                self.out.ask(prompt)
        self.out.answered(self._echoed)
        if quiet and line.at - shown < quiet:
            self._dropped((line, *self._pile()))
            return None
        self.moment = line.at
        return " ".join(inert(line.text, " ").split())

    def _pile(self) -> Sequence[TypedLine]:
        """All that comes until it is quiet for a second."""
        found: list[TypedLine] = list(self._source.waiting())
        with suppress(InputOver):  # It is met again at the next question.
            while (line := self._source.next(WHOLE)) is not None:
                found += [line, *self._source.waiting()]
        return found

    def _dropped(self, lines: Sequence[TypedLine]) -> None:
        """Say what was dropped."""
        self.out.answered(False)
        texts = [" ".join(inert(line.text, " ").split()) for line in lines]
        first = texts[0] if len(texts[0]) <= LONGEST else f"{texts[0][:LONGEST]}..."
        more = len(texts) - 1
        rest = f" and {more} more {'line' if more == 1 else 'lines'}" if more else ""
        self.out.say(
            f"Too quick: '{first}'{rest} came before the question could be read. None of it was taken. "
            "Read the question, then type again."
        )

    def rows(self, texts: Iterable[str]) -> None:
        """Write each text as a paragraph of its own."""
        self.out.rows(texts)
