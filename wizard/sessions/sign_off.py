"""A reviewer's notes and sign-off, in their own file beside the journal; the journal is never touched."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any, TypeVar

import tomli_w
from filelock import FileLock, Timeout

from wizard.errors import JournalBusy, JournalError, UsageError
from wizard.foreign.limits import SOURCE_LIMITS, Source
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.journal.durable_io import PRIVATE_FILE, lost, put

NAME = "review.toml"
"""The file's name in a session's folder."""

FORMAT = 1
LARGEST = SOURCE_LIMITS[Source.REVIEW].size
"""The most bytes that such a file may have."""

_LOCK = "review.lock"
_WAIT = 5.0


@dataclass(frozen=True, slots=True)
class ReviewNote:
    """A reviewer's note. ``event`` is the number of the event that it is about, 0 for the session as a whole."""

    by: str
    at: str
    text: str
    event: int = 0


@dataclass(frozen=True, slots=True)
class SignOff:
    """A session looked at and signed: what the journal's last chain value and its number of events were then."""

    by: str
    at: str
    chain: str
    events: int
    words: str = ""

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


Row = TypeVar("Row", ReviewNote, SignOff)


@dataclass(frozen=True, slots=True)
class Review:
    """What reviewers wrote on a session, oldest first."""

    notes: tuple[ReviewNote, ...] = ()
    signed: tuple[SignOff, ...] = ()


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
    if table.get("format") != FORMAT or set(table) - {"format", "note", "signed"}:
        raise JournalError(f"{name}: not a review of format {FORMAT}. {hint}")
    notes = tuple(_row(name, "note", row, ReviewNote) for row in _rows(name, table, "note"))
    return Review(notes, tuple(_row(name, "signed", row, SignOff) for row in _rows(name, table, "signed")))


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
    for key, rows in (("note", review.notes), ("signed", review.signed)):
        if rows:
            table[key] = [to_table(row) for row in rows]
    return tomli_w.dumps(table).encode("utf-8")


def add_note(folder: Path, note: ReviewNote) -> Review:
    """Write a note beside the journal. UsageError when it is empty or names nobody."""
    if not note.text.strip():
        raise UsageError("The note is empty. Write what you saw.")
    _named(note.by)
    return _change(folder, lambda old: Review((*old.notes, _clean(note)), old.signed))


def sign(folder: Path, signed: SignOff) -> Review:
    """Sign a session off. UsageError when nobody is named."""
    _named(signed.by)
    return _change(folder, lambda old: Review(old.notes, (*old.signed, _clean(signed))))


def _clean(row: Row) -> Row:
    """The same with lone surrogates, which no file can hold, replaced."""
    values = asdict(row)
    plain: dict[str, Any] = {
        k: v.encode("utf-8", "replace").decode() if isinstance(v, str) else v for k, v in values.items()
    }
    return type(row)(**plain)


def _named(by: str) -> None:
    if not by.strip():
        raise UsageError("A review needs a name. Say who looks at this session.")


def _change(folder: Path, change: Callable[[Review], Review]) -> Review:
    """Read, change and write the file, one reviewer at a time, whole or not at all."""
    path = folder / NAME
    try:
        with FileLock(folder / _LOCK, timeout=_WAIT, mode=PRIVATE_FILE):
            review = change(load(folder))
            data = dumps(review)
            if len(data) > LARGEST:
                raise UsageError(f"{path}: the review would be over {LARGEST // 1_000_000} MB.")
            put(path, data)
            return review
    except Timeout:
        raise JournalBusy(f"{path}: another program is writing it. Try again in a moment.") from None
    except OSError as error:
        raise lost("write the review", path, error) from error
