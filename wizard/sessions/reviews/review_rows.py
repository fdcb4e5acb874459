"""What a review holds: a reviewer's notes and sign-offs, and what the technician answered to each."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum, unique
from hashlib import sha256
from typing import Any, TypeVar

ID_LENGTH = 16
"""Hex digits by which a response names what it answers."""


@unique
class Ruling(StrEnum):
    """What a reviewer's sign-off comes to: the session is accepted; it is returned, for an answer or for work; or
    something is to be learned from it. Sign-offs of an earlier program stated none.
    """

    ACCEPT = "accept"
    RETURN = "return"
    TRAIN = "train"
    UNSTATED = "unstated"


ASKS = frozenset((Ruling.RETURN, Ruling.TRAIN))
"""The rulings that wait for the technician's answer."""

STATED = (Ruling.ACCEPT, Ruling.RETURN, Ruling.TRAIN)
"""The rulings that a sign-off may have today."""


@dataclass(frozen=True, slots=True)
class ReviewNote:
    """A reviewer's note. ``event`` is the number of the event that it is about, 0 for the session as a whole."""

    by: str
    at: str
    text: str
    event: int = 0
    key: str = ""
    signature: str = ""


@dataclass(frozen=True, slots=True)
class SignOff:
    """A session looked at and signed: what the journal's last chain value and its number of events were then."""

    by: str
    at: str
    chain: str
    events: int
    words: str = ""
    ruling: Ruling = Ruling.UNSTATED
    key: str = ""
    signature: str = ""

    def covers(self, chain: str) -> bool:
        """True when nothing was added to the journal, and nothing changed in it, since it was signed."""
        return self.chain == chain

    def since(self, chain: str, events: int) -> str:
        """What became of the record since, in words; empty where nothing did. ``events``: how many it has now."""
        if self.covers(chain):
            return ""
        if events > self.events:
            return f"the record has {events - self.events} more since"
        return "what was signed is not all there: verify the session"


@dataclass(frozen=True, slots=True)
class ReviewResponse:
    """What a technician answered. ``to``: the ``row_id`` of the note or sign-off that it answers."""

    by: str
    at: str
    text: str
    to: str
    key: str = ""
    signature: str = ""


ReviewRow = ReviewNote | SignOff | ReviewResponse
Row = TypeVar("Row", ReviewNote, SignOff, ReviewResponse)
AnyRow = TypeVar("AnyRow", bound=ReviewRow)


@dataclass(frozen=True, slots=True)
class Review:
    """What reviewers wrote on a session, and what was answered, each oldest first."""

    notes: tuple[ReviewNote, ...] = ()
    signed: tuple[SignOff, ...] = ()
    responses: tuple[ReviewResponse, ...] = ()

    def responses_to(self, row: ReviewNote | SignOff) -> tuple[ReviewResponse, ...]:
        """What was answered to a note or a sign-off."""
        wanted = row_id(row)
        return tuple(one for one in self.responses if one.to == wanted)

    @property
    def waiting(self) -> tuple[ReviewNote | SignOff, ...]:
        """What waits for the technician's answer: the last sign-off where it asks for one, then notes.

        An acceptance settles the notes that were written before it.
        """
        last = self.signed[-1] if self.signed else None
        asks = (last,) if last is not None and last.ruling in ASKS else ()
        settled = max((s.at for s in self.signed if s.ruling is Ruling.ACCEPT), default="")
        open_notes = tuple(n for n in self.notes if n.at > settled or not settled)
        return tuple(row for row in (*asks, *open_notes) if not self.responses_to(row))


_SIGNING = ("key", "signature")


def row_bytes(row: ReviewRow) -> bytes:
    """Every field of a row but its signature, and what kind it is: no two different rows give the same bytes.

    Each text stands behind its length in eight bytes, big end first.
    """
    texts = [type(row).__name__]
    for spec in (each for each in fields(row) if each.name not in _SIGNING):
        texts += [spec.name, str(getattr(row, spec.name))]
    parts = [text.encode("utf-8", "replace") for text in texts]
    return b"".join(len(part).to_bytes(8, "big") + part for part in parts)


def row_id(row: ReviewRow) -> str:
    """By which a response names a row: it changes with every letter of it, and not with its signature."""
    return sha256(row_bytes(row)).hexdigest()[:ID_LENGTH]


def row_message(session: str, row: ReviewRow) -> bytes:
    """The bytes that are signed of a row on the session of this id."""
    return f"steadfoot review 1\nsession {session}\n".encode() + row_bytes(row)


def clean_row(row: Row) -> Row:
    """The same with lone surrogates, which no file can hold, replaced."""
    values = {spec.name: getattr(row, spec.name) for spec in fields(row)}
    plain: dict[str, Any] = {
        k: v.encode("utf-8", "replace").decode() if type(v) is str else v for k, v in values.items()
    }
    return type(row)(**plain)


def wordless(text: str) -> str:
    """Why a text says nothing to whoever reads it; empty where it has words.

    Letters that have two cases make a word from three on, two of them different; others from two on.
    """
    letters = [each for each in text.casefold() if each.isalpha()]
    cased = all(each.upper() != each for each in letters)
    if len(letters) >= (3 if cased else 2) and len(set(letters)) > 1:
        return ""
    what = f"{text.strip()!r} says nothing" if text.strip() else "Nothing is written"
    return f"{what}. Write what you found in a few words."


def merged(here: Review, came: Review) -> Review:
    """The rows of both, each once, in the order of their times: what one side lacks is added, nothing is lost."""
    return Review(
        _both(here.notes, came.notes), _both(here.signed, came.signed), _both(here.responses, came.responses)
    )


def _both(mine: tuple[AnyRow, ...], theirs: tuple[AnyRow, ...]) -> tuple[AnyRow, ...]:
    new = tuple(row for row in dict.fromkeys(theirs) if row not in mine)
    return tuple(sorted((*mine, *new), key=lambda row: row.at))
