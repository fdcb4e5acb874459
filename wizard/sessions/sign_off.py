"""A reviewer's notes and sign-offs and the technician's answers, in their own file beside the journal, which is never
touched.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import tomli_w

from wizard.errors import JournalError, UsageError
from wizard.foreign.limits import SOURCE_LIMITS, Source
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.journal.durable_io import put
from wizard.journal.held_file import held
from wizard.sessions.reviews.review_rows import (
    STATED,
    Review,
    ReviewNote,
    ReviewResponse,
    Row,
    Ruling,
    SignOff,
    clean_row,
    merged,
    row_id,
    wordless,
)

NAME = "review.toml"
"""The file's name in a session's folder."""

FORMAT = 2
FORMATS = (1, FORMAT)
"""Those that are read: the first had no rulings and no responses."""

LARGEST = SOURCE_LIMITS[Source.REVIEW].size
"""The most bytes that such a file may have."""


def load(folder: Path) -> Review:
    """The review of a session's folder; an empty one where there is none. JournalError if it can't be read."""
    path = folder / NAME
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        return Review()
    except OSError as error:
        why = error.strerror or str(error)
        raise JournalError(f"{path}: can't be read ({why}). Look at its permissions.") from error
    return parse(data, str(path))


def parse(data: bytes, name: str = NAME) -> Review:
    """The review of a file's bytes. JournalError says what is wrong with them."""
    hint = "Mend it, or move it away: the journal itself is not touched by it."
    if len(data) > LARGEST:
        raise JournalError(f"{name}: over {LARGEST // 1_000_000} MB, so this is no review. {hint}")
    try:
        table = read_toml(data, Source.REVIEW)
    except ValueError as error:
        raise JournalError(f"{name}: this is not TOML in UTF-8 ({error}). {hint}") from error
    if table.get("format") not in FORMATS or set(table) - {"format", "note", "signed", "response"}:
        raise JournalError(f"{name}: not a review of format {' or '.join(map(str, FORMATS))}. {hint}")
    return Review(
        tuple(_row(name, "note", row, ReviewNote) for row in _rows(name, table, "note")),
        tuple(_row(name, "signed", row, SignOff) for row in _rows(name, table, "signed")),
        tuple(_row(name, "response", row, ReviewResponse) for row in _rows(name, table, "response")),
    )


def _rows(name: str, table: Mapping[str, Any], key: str) -> list[Any]:
    rows = table.get(key, [])
    if not isinstance(rows, list):
        raise JournalError(f"{name}: {key} must be a list of tables: [[{key}]].")
    return rows


def _row(name: str, key: str, row: Any, cls: type[Row]) -> Row:
    try:
        if not isinstance(row, dict):
            raise ValueError("it is no table")
        return from_table(cls, row)
    except ValueError as problem:
        wanted = ", ".join(spec.name for spec in fields(cls))
        raise JournalError(
            f"{name}: a [[{key}]] can't be read: {problem}. Its keys are {wanted}."
        ) from problem


def dumps(review: Review) -> bytes:
    """The file's bytes."""
    table: dict[str, Any] = {"format": FORMAT}
    for key, rows in (("note", review.notes), ("signed", review.signed), ("response", review.responses)):
        if rows:
            table[key] = [to_table(row) for row in rows]
    return tomli_w.dumps(table).encode("utf-8")


def add_note(folder: Path, note: ReviewNote) -> Review:
    """Write a note beside the journal. UsageError when it says nothing or names nobody."""
    _worded(note.text)
    _named(note.by)
    return _change(folder, lambda old: replace(old, notes=(*old.notes, clean_row(note))))


def sign(folder: Path, signed: SignOff) -> Review:
    """Sign a session off. UsageError when nobody is named, when it has no ruling, or when its words say nothing."""
    _named(signed.by)
    _worded(signed.words)
    if signed.ruling not in STATED:
        raise UsageError(f"A sign-off comes to one of: {', '.join(STATED)}. Say which.")
    return _change(folder, lambda old: replace(old, signed=(*old.signed, clean_row(signed))))


def respond(folder: Path, responses: Sequence[ReviewResponse]) -> Review:
    """Write a technician's answers. UsageError when one says nothing, names nobody, or answers what isn't there."""
    for one in responses:
        _worded(one.text)
        _named(one.by)

    def change(old: Review) -> Review:
        there = {*map(row_id, old.notes), *map(row_id, old.signed)}
        if any(one.to not in there for one in responses):
            raise UsageError("What is answered is no longer there: it was changed meanwhile. Read it again.")
        return replace(old, responses=(*old.responses, *map(clean_row, responses)))

    return _change(folder, change)


def take_in(folder: Path, came: bytes, name: str = NAME) -> bool:
    """Add the rows of another copy of this session's review to the one here; True where there were new ones.

    JournalError where either can't be read; JournalLost if the disk refuses.
    """
    theirs, here = parse(came, name), load(folder)
    if merged(here, theirs) == here:
        return False
    _change(folder, lambda old: merged(old, theirs))
    return True


def _worded(text: str) -> None:
    if wrong := wordless(text):
        raise UsageError(wrong)


def _named(by: str) -> None:
    if not by.strip():
        raise UsageError("A review needs a name. Say who writes this.")


def _change(folder: Path, change: Callable[[Review], Review]) -> Review:
    """Read, change and write the file, one reviewer at a time, whole or not at all."""
    path = folder / NAME
    with held(path, "write the review"):
        review = change(load(folder))
        data = dumps(review)
        if len(data) > LARGEST:
            raise UsageError(f"{path}: the review would be over {LARGEST // 1_000_000} MB.")
        put(path, data)
        return review


__all__ = [
    "Review",
    "ReviewNote",
    "ReviewResponse",
    "Ruling",
    "SignOff",
    "add_note",
    "load",
    "respond",
    "sign",
]
