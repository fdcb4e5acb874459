"""What time does to a question by lines: nobody at the keys for long, a computer that slept, a wait that runs out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.engine.state.waiting import wait_words
from wizard.errors import JournalLost
from wizard.lines.terminal import talk
from wizard.lines.terminal.talk import QuestionChanged
from wizard.lines.terminal.typed_number import echoed
from wizard.screens.launch.lapse_watch import LapseWatch, copy_sentences

if TYPE_CHECKING:
    from wizard.lines.terminal.line_host import LineHost
    from wizard.screens.layout.controller import JobController

MARKS = (600.0, 300.0, 180.0, 120.0, 60.0, 30.0, 10.0)
"""Seconds left of a wait at which that is said."""


class LineWatch:
    """Told of each line and of each beat by the talk of a job."""

    def __init__(self, host: LineHost) -> None:
        self._host = host
        self._waiting, self._typed = 0.0, ""
        self._lapses = LapseWatch(
            lambda: host.controller, lambda: self._typed, self._less_known, self._lost, self._anew
        )
        host.talk.beat, host.talk.heard = self.beat, self.heard

    def heard(self, text: str) -> bool:
        """A line was typed. False, and said, where less is known since: it goes nowhere then."""
        host = self._host
        self._typed = text if host.numbers and not host.within else ""
        if not self._lapses.key():
            return True
        self._typed = ""
        host.say(f"'{echoed(text)}' was not taken." if text else "That was not taken.")
        if host.within:
            return False
        raise QuestionChanged

    def beat(self) -> None:
        """Nobody types: what is known no more is said at once, and a wait is counted down in words."""
        self._typed = ""
        if copy_sentences(self._host.controller):
            self._host.say_notice()
        self._lapses.beat()
        self._count()

    def counted(self) -> None:
        """The wait of the step on hand was said: from now on it is counted down."""
        self._waiting = self._host.controller.wait_left
        self._host.talk.every = 1.0 if self._waiting else talk.BEAT

    def _count(self) -> None:
        """Say what is left of a wait, at a few marks, and that it is over."""
        if not self._waiting:
            return
        before, self._waiting = self._waiting, self._host.controller.wait_left
        if not self._waiting:
            self._host.talk.every = talk.BEAT
            self._host.say("The wait is over: it may be answered now.")
        elif any(self._waiting <= mark < before for mark in MARKS):
            self._host.say(f"Wait: {wait_words(self._waiting)} more.")

    def _less_known(self, _job: JobController) -> None:
        if self._host.within:
            self._host.say_notice()

    def _anew(self) -> None:
        self._host.stale = True
        if not self._host.within:
            raise QuestionChanged

    def _lost(self, lost: JournalLost) -> None:
        raise lost
