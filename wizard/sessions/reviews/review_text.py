"""A review in words: the same on screens, in commands and in the archive."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.documents.text.formatting import day
from wizard.sessions.reviews.review_rows import Review, ReviewNote, ReviewResponse, Ruling, SignOff

RULINGS: Mapping[Ruling, str] = {
    Ruling.ACCEPT: "accepted",
    Ruling.RETURN: "returned",
    Ruling.TRAIN: "to learn from",
    Ruling.UNSTATED: "",
}
"""What a sign-off came to, in a word or two behind the name of who signed."""

CHOICES: tuple[tuple[Ruling, str], ...] = (
    (Ruling.ACCEPT, "Accept: the record can stand as it is"),
    (Ruling.RETURN, "Return: the technician is to answer, or to go back"),
    (Ruling.TRAIN, "Train: it can stand, and something is to be learned from it"),
)
"""What a reviewer chooses from."""


def signed_head(signed: SignOff) -> str:
    """'Signed off by A. Reed, returned, 3 March 2026'."""
    return ", ".join(filter(None, (f"Signed off by {signed.by}", RULINGS[signed.ruling], day(signed.at))))


def response_head(response: ReviewResponse) -> str:
    """'Answered by R. Vale, 3 March 2026'."""
    return f"Answered by {response.by}, {day(response.at)}"


def response_line(response: ReviewResponse) -> str:
    """The same with what was answered."""
    return f"{response_head(response)}: {response.text}"


def row_head(row: ReviewNote | SignOff) -> str:
    """Who wrote a row, when, and where it belongs."""
    if isinstance(row, SignOff):
        return signed_head(row)
    place = f" at event {row.event}" if row.event else " on the whole"
    return f"Note{place}, {row.by}, {day(row.at)}"


def row_words(row: ReviewNote | SignOff) -> str:
    """What a reviewer wrote in it; empty where that is nothing."""
    return row.words if isinstance(row, SignOff) else row.text


def rows_by_time(review: Review) -> tuple[ReviewNote | SignOff, ...]:
    """All that reviewers wrote, oldest first; of one moment notes before the sign-off."""
    return tuple(sorted((*review.notes, *review.signed), key=lambda row: row.at))


def review_lines(review: Review, chain: str, events: int) -> Iterator[str]:
    """All of a review: each row with its number, words, what became of the record since, and its answers.

    ``chain`` and ``events``: the last seal of the record now, and how many events it has.
    """
    waiting = review.waiting
    for number, row in enumerate(rows_by_time(review), 1):
        since = row.since(chain, events) if isinstance(row, SignOff) else ""
        yield f"{number}  {row_head(row)}{f' ({since})' if since else ''}: {row_words(row) or '-'}"
        for response in review.responses_to(row):
            yield f"   {response_line(response)}"
        if row in waiting:
            yield "   Waits for an answer."
