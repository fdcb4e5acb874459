"""Writes beside a session, with the time and, where this computer has a key, signed by it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from wizard.sessions import sign_off
from wizard.sessions.reviews.review_rows import (
    Review,
    ReviewNote,
    ReviewResponse,
    Row,
    Ruling,
    SignOff,
    clean_row,
    row_id,
    row_message,
)
from wizard.sessions.session_store import Store
from wizard.trust.key_file import sign_by_home


class ReviewDesk:
    """What is written on one session; ``name``: its id. ``unsigned``: why the last row has no signature though there is
    a key, empty where nothing is wrong. SteadfootError from any method: it can't be written.
    """

    def __init__(self, store: Store, name: str) -> None:
        self._store, self._name, self.unsigned = store, name, ""

    @property
    def folder(self) -> Path:
        """The session's folder."""
        return self._store.home.session_folder(self._name)

    def note(self, by: str, text: str, event: int) -> Review:
        """Keep a note at an event, 0 for the whole."""
        return sign_off.add_note(self.folder, self._signed(ReviewNote(by, self.now, text, event)))

    def sign(self, by: str, ruling: Ruling, words: str, chain: str, events: int) -> Review:
        """Sign the session off as it stands: its last chain value is ``chain``, and it has so many events."""
        return sign_off.sign(self.folder, self._signed(SignOff(by, self.now, chain, events, words, ruling)))

    def respond(self, by: str, text: str, rows: Iterable[ReviewNote | SignOff]) -> Review:
        """Answer notes and sign-offs."""
        now = self.now
        responses = [self._signed(ReviewResponse(by, now, text, row_id(row))) for row in rows]
        return sign_off.respond(self.folder, responses)

    def _signed(self, row: Row) -> Row:
        """The row with the signature of this computer over what will stand in the file."""
        row = clean_row(row)
        signed = sign_by_home(self._store.root, row_message(self._name, row))
        self.unsigned = f"It is not signed: {signed.why}" if signed.why else ""
        return replace(row, key=signed.key, signature=signed.signature)

    @property
    def now(self) -> str:
        """The present moment as reviews write it."""
        return self._store.clock.wall().isoformat(timespec="seconds").replace("+00:00", "Z")
