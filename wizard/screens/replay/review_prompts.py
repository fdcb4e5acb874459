"""What a reviewer writes beside a session: a note, a sign-off, the name asked once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from wizard.documents.text.formatting import sentence
from wizard.errors import SteadfootError
from wizard.review.flags.flag import Flag
from wizard.review.replay import ReplayFrame
from wizard.screens.dialogs import prompts
from wizard.screens.dialogs.content_prompt import AskContent
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.sessions.reviews.review_rows import Ruling
from wizard.sessions.reviews.review_text import CHOICES, RULINGS

if TYPE_CHECKING:
    from textual.screen import Screen

Question = Callable[["Screen[Any]", Callable[[Any], None]], None]
"""Lays a question over the screen, and gives its answer to what is to be done with it."""


class ReviewPrompts:
    """Asks and writes. ``said`` gets what was done, or why it could not be."""

    def __init__(self, session: ReviewedSession, ask: Question, words: Callable[[str], None]) -> None:
        self._session, self._ask, self._said = session, ask, words

    def note(self, frame: ReplayFrame | None) -> None:
        """A note at an event, or on the session as a whole."""
        says = f"At event {frame.seq}: {frame.says}" if frame else "On the session as a whole."
        event = frame.seq if frame else 0

        def write(text: str) -> None:
            self._write(lambda: self._session.note(text, event), "The note is kept beside the record.")

        self._named(lambda: self._ask(AskContent("A note", says), write))

    def sign(self) -> None:
        """The session signed off."""
        says = "Say in a few words what you found. The home screen shows it wherever this session is kept."
        question = prompts.AskOne("Sign this session off", "What do you say of it?", CHOICES)

        def write(ruling: Ruling, text: str) -> None:
            done = sentence(f"Signed off by {self._session.reviewer}, {RULINGS[ruling]}")
            self._write(lambda: self._session.sign(ruling, text), done)

        def ruled(chosen: str) -> None:
            ruling = Ruling(chosen)
            title = sentence(f"Signed off: {RULINGS[ruling]}").rstrip(".")
            self._ask(AskContent(title, says), lambda text: write(ruling, text))

        self._named(lambda: self._ask(question, ruled))

    def judge(self, flag: Flag, fair: bool, then: Callable[[str], None]) -> None:
        """Whether a flag is fair; ``then`` gets what was done, or why it could not be."""

        def write() -> None:
            try:
                self._session.judge(flag, fair)
            except SteadfootError as problem:
                then(str(problem))
            else:
                then(f"Called {'fair' if fair else 'not fair'}, beside the record.")

        self._named(write)

    def _named(self, then: Callable[[], None]) -> None:
        """Ask once who reviews, then go on."""

        def named(name: str) -> None:
            self._session.reviewer = name
            then()

        if self._session.reviewer:
            then()
        else:
            question = prompts.AskName("Who looks at this session?", "Your name; it stands with the note.")
            self._ask(question, named)

    def _write(self, write: Callable[[], None], done: str) -> None:
        """Write beside the record; say what was done, or why not."""
        try:
            write()
        except SteadfootError as problem:
            self._said(str(problem))
        else:
            self._said(" ".join(filter(None, (done, self._session.unsigned))))
