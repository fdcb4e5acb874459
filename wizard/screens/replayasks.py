"""What a reviewer asks for over a replay, and writes beside it: lists, an event's number, a note, a sign-off."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.binding import BindingType

from wizard.errors import SteadfootError
from wizard.review import signoff
from wizard.review.signoff import Review
from wizard.review.words import sentence
from wizard.screens import asks, keys, replaylists
from wizard.screens.replaymoves import Moving


class Asking(Moving):
    """The keys that lay a list or a question over the replay."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings(
        "event", "line", "visits", "flags", "remark", "remarks", "sign"
    )

    def _ask_place(self, title: str, entries: list[replaylists.Entry]) -> None:
        self._halt()
        self.program.ask(replaylists.ListPanel(title, entries, self._place), self.go)

    def action_line(self) -> None:
        """All events."""
        self._ask_place("Time line", replaylists.line_entries(self.program.replay))

    def action_stays(self) -> None:
        """The inspections with the time spent."""
        self._ask_place(
            "Inspections: time spent, of the usual", replaylists.stay_entries(self.program.replay)
        )

    def action_flags(self) -> None:
        """What may be worth a second look."""
        found = self._flags or ()
        self._ask_place(
            "Worth a second look; it proves nothing", replaylists.flag_entries(self.program.replay, found)
        )

    def action_remarks(self) -> None:
        """What reviewers wrote."""
        program = self.program
        self._ask_place(
            "Notes and sign-offs", replaylists.remark_entries(program.replay, program.review, program.chain)
        )

    def action_event(self) -> None:
        """To the event with a number."""
        self._halt()
        says = f"Its number, 1 to {self.program.replay.end.seq}. 0 is before the first."
        self.program.ask(asks.AskText("Which event?", says), self._to_event)

    def _to_event(self, text: str) -> None:
        if text.isascii() and text.isdecimal() and int(text) <= self.program.replay.end.seq:
            self.go(self.program.replay.place_of(int(text)))
        else:
            self.say(f"{text} is no event of this session.")

    def action_remark(self) -> None:
        """A note at this event."""
        self._halt()
        frame = self.program.replay.frame(self._place) if self._place else None
        says = f"At event {frame.seq}: {frame.says}" if frame else "On the session as a whole."
        self._named(lambda: self.program.ask(asks.AskReason("A note", says), self._note))

    def _note(self, text: str) -> None:
        program = self.program
        seq = program.replay.frame(self._place).seq if self._place else 0
        note = signoff.Note(program.reviewer, program.now, text, seq)
        self._write(lambda: signoff.add_note(program.folder, note), "The note is kept beside the record.")

    def action_sign(self) -> None:
        """Sign the session off."""
        self._halt()
        says = "Say in a few words what you found. It is kept beside the record, with its last seal."
        self._named(lambda: self.program.ask(asks.AskReason("Sign this session off", says), self._sign))

    def _sign(self, text: str) -> None:
        program = self.program
        signed = signoff.SignOff(program.reviewer, program.now, program.chain, len(program.replay), text)
        self._write(
            lambda: signoff.sign(program.folder, signed), sentence(f"Signed off by {program.reviewer}")
        )

    def _named(self, then: Callable[[], None]) -> None:
        """Ask once who reviews, then go on."""

        def named(name: str) -> None:
            self.program.reviewer = name
            then()

        if self.program.reviewer:
            then()
        else:
            self.program.ask(
                asks.AskText("Who looks at this session?", "Your name; it stands with the note."), named
            )

    def _write(self, write: Callable[[], Review], done: str) -> None:
        """Write beside the record; say what was done, or why not."""
        try:
            self.program.review = write()
        except SteadfootError as problem:
            self.say(str(problem))
            return
        self.refresh_all()
        self.say(done)
