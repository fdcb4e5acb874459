"""What the questions before a command may ask of whoever leads the job: the full screen, or the line mode."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

from wizard.engine.session import Clock
from wizard.screens.layout.controller import Act, JobController
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.viewmodels.questions import Question
from wizard.sessions.session_store import Store

T = TypeVar("T")


class QuestionHost(Protocol):
    """The program as a question sees it. It knows no screen."""

    store: Store
    clock: Clock

    @property
    def controller(self) -> JobController:
        """The job in hand."""
        ...

    def act(self, *acts: Act) -> None:
        """Carry acts out, ask what they lack, and show what follows."""
        ...

    def go(self, place: MapPlace) -> None:
        """Go to a place of the job: map, decision, repair, handover."""
        ...

    def put(self, question: Question[T], then: Callable[[T], None]) -> None:
        """Ask a question; ``then`` gets its answer unless it was left without one."""
        ...

    def say(self, text: str) -> None:
        """Say a sentence."""
        ...
