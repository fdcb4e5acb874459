"""What a reviewer wrote, read from home and answered: a list, the words of the marked one, a name, the answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from wizard.errors import SteadfootError
from wizard.foreign.harmless import harmless
from wizard.journal.session_name import short_name
from wizard.review.reviewed_event import about
from wizard.screens.dialogs.content_prompt import AskContent
from wizard.screens.dialogs.prompts import AskName
from wizard.screens.dialogs.review_row_panel import ReviewRowPanel
from wizard.screens.replay.replay_lists import ListEntry, ListPanel
from wizard.sessions.review_desk import ReviewDesk
from wizard.sessions.review_inbox import InboxRow
from wizard.sessions.reviews.review_text import row_words

if TYPE_CHECKING:
    from wizard.screens.launch.job_app import JobApp


class ReviewInboxPrompts:
    """Asks and writes. ``technicians``: who did each job, whose name is offered for an answer; ``done`` is called with
    what was done.
    """

    def __init__(
        self,
        app: JobApp,
        rows: Iterable[InboxRow],
        technicians: Mapping[str, str],
        done: Callable[[str], None],
    ) -> None:
        self._app, self._technicians, self._done = app, technicians, done
        self._rows = sorted(rows, key=lambda one: not one.waits)

    def open(self, marked: int = 0) -> None:
        """Lay the list over the screen, what waits for an answer first; ``marked``: the row that has the mark."""
        entries = [ListEntry(_line(one), n, harmless(row_words(one.row))) for n, one in enumerate(self._rows)]
        self._app.host.ask(ListPanel("From the reviewer", entries, marked), self._read)

    def _read(self, number: int) -> None:
        """The words, with what they are about, which is read from the journal in a thread. Esc leads to the list."""
        app, one = self._app, self._rows[number]

        def work() -> None:
            lines = about(app.store, one.session, getattr(one.row, "event", 0))
            app.call_from_thread(show, lines)

        def show(lines: tuple[str, ...]) -> None:
            app.say("")
            panel = ReviewRowPanel(one, lines)
            app.push_screen(panel, lambda go: self._name(one) if go else self.open(number))

        app.say("Opening ...")
        app.run_worker(work, thread=True, exclusive=True, group="inbox")

    def _name(self, one: InboxRow) -> None:
        ask = AskName(
            "Your answer", "Your name; it stands with the answer.", self._technicians.get(one.session, "")
        )
        self._app.host.ask(ask, lambda name: self._answer(one, name))

    def _answer(self, one: InboxRow, name: str) -> None:
        says = "The reviewer reads it. It is kept beside the record, which stays as it is."
        self._app.host.ask(AskContent("Your answer", says), lambda text: self._write(one, name, text))

    def _write(self, one: InboxRow, name: str, text: str) -> None:
        desk = ReviewDesk(self._app.store, one.session)
        try:
            desk.respond(name, text, (one.row,))
        except SteadfootError as problem:
            self._done(str(problem))
        else:
            says = ("Answered. It is kept beside the record.", desk.unsigned)
            self._done(" ".join(filter(None, says)))


def _line(one: InboxRow) -> str:
    return (
        f"{short_name(one.session)}  {one.kind:<13}  {harmless(one.row.by)}: {harmless(row_words(one.row))}"
    )
