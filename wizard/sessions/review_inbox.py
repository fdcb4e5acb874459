"""What reviewers wrote on the jobs of this home that the technician is to read: no flow is loaded, nothing written."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wizard.errors import SteadfootError
from wizard.journal.home_folder import Home
from wizard.sessions import sign_off
from wizard.sessions.reviews.review_rows import Review, ReviewNote, Ruling, SignOff
from wizard.sessions.reviews.review_text import RULINGS


@dataclass(frozen=True, slots=True)
class InboxRow:
    """One note or sign-off for the technician. ``waits``: it is to be answered; an acceptance need not be."""

    session: str
    row: ReviewNote | SignOff
    waits: bool
    review: Review

    @property
    def kind(self) -> str:
        """'RETURNED', 'TO LEARN FROM', 'ACCEPTED', or 'NOTE'."""
        return RULINGS[self.row.ruling].upper() if isinstance(self.row, SignOff) else "NOTE"

    @property
    def returned(self) -> bool:
        """True for a sign-off that returns the session."""
        return isinstance(self.row, SignOff) and self.row.ruling is Ruling.RETURN


def inbox_rows(home: Home, session: str) -> tuple[InboxRow, ...]:
    """What of a session's review is to be read: what waits for an answer, or that it was accepted.

    None where its review can't be read: verifying the session says so.
    """
    try:
        review = sign_off.load(home.session_folder(session))
    except SteadfootError:
        return ()
    waiting = tuple(InboxRow(session, row, True, review) for row in review.waiting)
    last = review.signed[-1] if review.signed else None
    if last is None or last.ruling is not Ruling.ACCEPT or review.responses_to(last):
        return waiting
    return (*waiting, InboxRow(session, last, False, review))


def inbox_words(rows: Iterable[InboxRow]) -> str:
    """How many of what there are, in a sentence; empty where there is nothing."""
    rows = tuple(rows)
    counts = [
        (sum(one.returned for one in rows), "returned"),
        (
            sum(one.waits and not one.returned and isinstance(one.row, SignOff) for one in rows),
            "to learn from",
        ),
        (sum(isinstance(one.row, ReviewNote) for one in rows), "with a note"),
    ]
    asks = ", ".join(f"{count} {word}" for count, word in counts if count)
    accepted = sum(not one.waits for one in rows)
    parts = (f"{asks}: answer it" if asks else "", f"{accepted} accepted" if accepted else "")
    return f"From the reviewer: {'; '.join(filter(None, parts))} (r reads it)." if any(parts) else ""
