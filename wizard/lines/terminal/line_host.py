"""The job in the line mode: carries acts out, asks what they lack, and knows when the question must be said anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from wizard.domain.vocabulary import JobState
from wizard.engine.queries.machine_view import badge
from wizard.lines.terminal.line_asking import ask
from wizard.lines.terminal.line_watch import LineWatch
from wizard.lines.terminal.talk import Talk
from wizard.measure.quantities.units import UnitSystem
from wizard.screens.launch.missing_prompts import ask_for
from wizard.screens.layout.controller import Act, AskFirst, JobController, Refusal
from wizard.screens.layout.key_guard import Guard
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.text.badge_text import badge_words
from wizard.screens.viewmodels.questions import Question

if TYPE_CHECKING:
    from wizard.sessions.session_handle import Opened
    from wizard.sessions.session_store import Store

T = TypeVar("T")


class LineHost:
    """What scenes and questions ask of (``question_host.QuestionHost``).

    ``stale``: the question is to be said anew, ``whole``: all of it. ``numbers``: what is typed is a number, and is
    kept if something is asked again before it is taken. ``list_map``: the map is to list all its parts.
    ``within``: how many questions lie over that on hand.
    """

    def __init__(self, opened: Opened, store: Store, talk: Talk) -> None:
        self.store, self.clock, self.talk = store, store.clock, talk
        self.controller = JobController(opened)
        self.guard = Guard(store.clock.mono)
        self.system = UnitSystem.METRIC
        self.stale, self.whole, self.left, self.numbers = True, True, False, False
        self.list_map = True
        self.within, self._badge = 0, ""
        self.watch = LineWatch(self)

    @property
    def going(self) -> bool:
        """True while the job was not closed."""
        return self.controller.state.job is not JobState.CLOSED

    def act(self, *acts: Act) -> None:
        """Carry acts out; ask what they lack. JournalLost goes up."""
        before = self.controller.state.seq
        result = self.controller.act(*acts)
        self.stale = self.stale or self.controller.state.seq != before
        if isinstance(result, Refusal):
            self.say(result.says)
        elif isinstance(result, AskFirst):
            ask_for(self, result, lambda: self.say("Type it again."))

    def go(self, place: MapPlace) -> None:
        """Go to a place of the job."""
        self.controller.place, self.stale = place, True

    def put(self, question: Question[T], then: Callable[[T], None]) -> None:
        """Ask a question; ``then`` gets its answer unless it was left without one."""
        with_answer = self.nested(lambda: ask(self.talk, question))
        if with_answer is not None:
            then(with_answer)

    def nested(self, asked: Callable[[], T]) -> T:
        """Ask something over the question on hand, which is said anew afterwards."""
        self.within, self.stale = self.within + 1, True
        try:
            return asked()
        finally:
            self.within -= 1

    def say(self, text: str) -> None:
        """Say a sentence."""
        if text:
            self.talk.say(text)

    def say_machine(self) -> None:
        """Say how the machine stands for the hands, if that is other than it was said last."""
        words = badge_words(badge(self.controller.view))
        if words != self._badge:
            self._badge = words
            self.say(f"Machine: {words}.")

    def say_notice(self) -> None:
        """Say what the last act left to be said, once."""
        if self.controller.notice:
            self.say(" ".join(self.controller.notice))
            self.controller.notice = ()
