"""Signatures of a session's closing seals: a file of their own beside the journal.

The closing seal is the chain value of the closing event. It can be signed only once that event is written, and an event
behind it would move the end of the record off the seal that is printed. So the signature lies beside it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomli_w
from filelock import FileLock, Timeout

from wizard.errors import JournalBusy, JournalError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.journal.durable_io import PRIVATE_FILE, lost, put
from wizard.journal.session_name import is_session

NAME = "signature.toml"
"""The file's name in a session's folder."""

FORMAT = 1
_LOCK = "signature.lock"
_WAIT = 5.0
_CHAIN = re.compile(r"[0-9a-f]{64}")
_AT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")


@dataclass(frozen=True, slots=True)
class SealSignature:
    """A closing seal signed. ``session``: the id in the journal's first event; ``events``: the number of the closing
    event; ``at``: when, by that computer's clock; ``key``, ``signature``: hex digits.
    """

    session: str
    chain: str
    events: int
    at: str
    key: str = ""
    signature: str = ""

    @property
    def message(self) -> bytes:
        """The bytes that are signed: a line for each thing said, none of which can hold a line's end."""
        lines = (
            "steadfoot closing seal 1", f"session {self.session}", f"chain {self.chain}", f"events {self.events}",
            f"at {self.at}",
        )  # fmt: skip
        return "".join(f"{line}\n" for line in lines).encode("utf-8")

    @property
    def sound(self) -> bool:
        """Whether each thing is of its form."""
        formed = _CHAIN.fullmatch(self.chain) and _AT.fullmatch(self.at)
        return bool(formed) and is_session(self.session) and self.events > 0


def load_signatures(folder: Path) -> tuple[SealSignature, ...]:
    """The signatures of a session's folder, oldest first; none where there is no file. JournalError if it is no such
    file, or was altered in anything, spaces too.
    """
    path = folder / NAME
    try:
        return parse_signatures(read_file(path, Source.SIGNATURE), str(path))
    except FileNotFoundError:
        return ()
    except (OSError, Unreadable) as problem:
        raise JournalError(f"{path}: can't be read ({problem}). Look at its permissions.") from problem


def parse_signatures(data: bytes, name: str = NAME) -> tuple[SealSignature, ...]:
    """The same of a file's bytes: they must be those that the program writes of what they say."""
    hint = "Restore it from a copy. The journal itself is not touched by it."
    try:
        table = read_toml(data, Source.SIGNATURE)
    except ValueError as problem:
        raise JournalError(f"{name}: this is not TOML in UTF-8 ({problem}). {hint}") from problem
    rows = table.get("seal", [])
    if table.get("format") != FORMAT or set(table) - {"format", "seal"} or not isinstance(rows, list):
        raise JournalError(f"{name}: not signatures of format {FORMAT}. {hint}")
    found = tuple(_row(row, name, hint) for row in rows)
    if dump_signatures(found) != data:
        raise JournalError(f"{name}: it is not as the program wrote it: it was altered. {hint}")
    return found


def _row(row: Any, name: str, hint: str) -> SealSignature:
    try:
        if not isinstance(row, dict):
            raise ValueError("it is no table")
        found = from_table(SealSignature, row)
    except ValueError as problem:
        raise JournalError(f"{name}: a [[seal]] can't be read: {problem}. {hint}") from problem
    if not found.sound:
        raise JournalError(f"{name}: a [[seal]] names no session, chain value or time. {hint}")
    return found


def dump_signatures(some: Iterable[SealSignature]) -> bytes:
    """The file's bytes."""
    rows = [to_table(one) for one in some]
    return tomli_w.dumps({"format": FORMAT, **({"seal": rows} if rows else {})}).encode("utf-8")


def add_signature(folder: Path, one: SealSignature) -> None:
    """Keep a signature. JournalError where the file there can't be read; JournalLost if the disk refuses."""
    _change(folder, lambda old: (*old, one))


def take_signatures(folder: Path, came: bytes) -> bool:
    """Add the signatures of another copy of this session; True where there were new ones. Errors as in ``add``."""
    theirs, here = parse_signatures(came), load_signatures(folder)
    new = tuple(one for one in theirs if one not in here)
    if new:
        _change(folder, lambda old: tuple(sorted((*old, *new), key=lambda one: (one.events, one.at))))
    return bool(new)


def _change(folder: Path, change: Callable[[tuple[SealSignature, ...]], tuple[SealSignature, ...]]) -> None:
    path = folder / NAME
    try:
        with FileLock(folder / _LOCK, timeout=_WAIT, mode=PRIVATE_FILE):
            data = dump_signatures(change(load_signatures(folder)))
            if len(data) > SOURCE_LIMITS[Source.SIGNATURE].size:
                raise JournalError(f"{path}: it would be too large.")
            put(path, data)
    except Timeout:
        raise JournalBusy(f"{path}: another program is writing it. Try again in a moment.") from None
    except OSError as error:
        raise lost("write the signature", path, error) from error
