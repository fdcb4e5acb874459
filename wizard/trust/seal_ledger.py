"""A shop's ledger: a line for each closing seal that came in, only ever added to, under a Merkle tree (RFC 6962).

Whoever keeps a head (how many lines, and the root over them) can tell later whether one of those lines was changed or
taken out. Without a kept head, whoever may write the file may write another one.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from wizard.errors import JournalError, UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.journal.durable_io import lost, make_folder, place_new, private, sync, write_all
from wizard.journal.held_file import held
from wizard.journal.session_name import is_session
from wizard.trust.merkle_tree import leaf_hash, root_of

NAME = "ledger.txt"
"""The file's name in the home folder."""

HEADER = b"steadfoot ledger 1\n"
SHORTEST = 16
"""The fewest digits of a root that are compared."""

_LINE = re.compile(r"(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ) (\S{1,60}) ([1-9]\d{0,6}) ([0-9a-f]{64})", re.ASCII)
_HEAD = re.compile(r"\s*(\d{1,9})\s+([0-9a-fA-F\s]+?)\s*")


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One line: when it was added by the shop's clock, the session's id, its closing event and that one's seal."""

    at: str
    session: str
    events: int
    chain: str

    @property
    def line(self) -> bytes:
        """The line without its end: the data of a leaf."""
        return f"{self.at} {self.session} {self.events} {self.chain}".encode("ascii")


@dataclass(frozen=True, slots=True)
class LedgerHead:
    """How many lines, and the first digits or all of the root over them, in hex."""

    size: int
    root: str

    @property
    def digits(self) -> str:
        """The same to be printed and typed: '8 5dc9 da79 ...', 64 digits in groups of four."""
        return f"{self.size} {' '.join(self.root[at : at + 4] for at in range(0, len(self.root), 4))}"


@dataclass(frozen=True)
class SealLedger:
    """The lines of a ledger. ``torn``: bytes at its end that are no whole line, of a write that was cut off."""

    entries: tuple[LedgerEntry, ...] = ()
    torn: bytes = b""

    @cached_property
    def leaves(self) -> tuple[bytes, ...]:
        """The hash of each line."""
        return tuple(leaf_hash(entry.line) for entry in self.entries)

    @property
    def head(self) -> LedgerHead:
        """The head of all lines."""
        return self.head_at(len(self.entries))

    def head_at(self, size: int) -> LedgerHead:
        """The head of the first lines. UsageError where there are not so many."""
        if not 0 <= size <= len(self.entries):
            raise UsageError(f"The ledger has {len(self.entries)} lines, not {size}.")
        return LedgerHead(size, root_of(self.leaves[:size]).hex())

    @cached_property
    def by_session(self) -> dict[str, tuple[int, ...]]:
        """The indices, from 0, of the lines of each session."""
        found: dict[str, tuple[int, ...]] = {}
        for index, entry in enumerate(self.entries):
            found[entry.session] = (*found.get(entry.session, ()), index)
        return found

    def departs(self, kept: LedgerHead) -> str:
        """Why a kept head is not that of the beginning of this ledger; empty where it is."""
        if kept.size > len(self.entries):
            gone = kept.size - len(self.entries)
            return (
                f"The kept head has {kept.size} lines, and the ledger {len(self.entries)}: {gone} are gone."
            )
        now = self.head_at(kept.size)
        if not now.root.startswith(kept.root):
            return (
                f"The first {kept.size} lines are not those of the kept head: one of them was changed, taken out or "
                f"put in. Their head is {now.digits} now."
            )
        return ""


def read_head(text: str) -> LedgerHead:
    """The head that a person typed: how many lines, then 16 digits or more of the root. UsageError if it is none."""
    found = _HEAD.fullmatch(text)
    digits = "".join(found[2].split()).lower() if found else ""
    if found is None or not SHORTEST <= len(digits) <= 64:
        raise UsageError(
            f"{text!r} is no head of a ledger. Write the number of lines and 16 or more digits of the root, such as "
            "'8 5dc9 da79 a706 59a9'."
        )
    return LedgerHead(int(found[1]), digits)


def load_ledger(root: Path) -> SealLedger | None:
    """The ledger of a home; None where there is none. JournalError names the line that no ledger has."""
    path = root / NAME
    try:
        data = read_file(path, Source.LEDGER)
    except FileNotFoundError:
        return None
    except (OSError, Unreadable) as problem:
        raise JournalError(f"{path}: can't be read ({problem}). Look at its permissions.") from problem
    return parse_ledger(data, str(path))


def remembered_ledger(root: Path) -> SealLedger | None:
    """The same for whoever asks many times: read again only where its size or time is another. A file that is altered
    and keeps both is not seen here; checking the ledger reads its bytes.
    """
    path = root / NAME
    try:
        found = path.stat()
    except OSError:
        return load_ledger(root)
    return _remembered(root, found.st_size, found.st_mtime_ns)


@lru_cache(maxsize=2)
def _remembered(root: Path, _size: int, _changed: int) -> SealLedger | None:
    return load_ledger(root)


def parse_ledger(data: bytes, name: str = NAME) -> SealLedger:
    """The same of a file's bytes."""
    hint = "Restore it from a copy, and compare that with a head that was kept."
    if not data.startswith(HEADER):
        raise JournalError(f"{name}:1: this is no ledger of format 1. {hint}")
    *lines, torn = data[len(HEADER) :].split(b"\n")
    if len(lines) > SOURCE_LIMITS[Source.LEDGER].values:
        raise JournalError(f"{name}: it has more than {SOURCE_LIMITS[Source.LEDGER].values} lines. {hint}")
    return SealLedger(tuple(_entry(line, name, n, hint) for n, line in enumerate(lines, 2)), torn)


def _entry(line: bytes, name: str, number: int, hint: str) -> LedgerEntry:
    found = _LINE.fullmatch(line.decode("ascii", "replace"))
    if found is None or not is_session(found[2]):
        raise JournalError(f"{name}:{number}: this is no line of a ledger: it was altered. {hint}")
    return LedgerEntry(found[1], found[2], int(found[3]), found[4])


def entry_of(text: str) -> LedgerEntry:
    """The entry of a line, as a proof holds it. ValueError if it is none."""
    found = _LINE.fullmatch(text)
    if found is None or not is_session(found[2]):
        raise ValueError("it holds no line of a ledger")
    return LedgerEntry(found[1], found[2], int(found[3]), found[4])


def append(root: Path, new: Callable[[SealLedger], Iterable[LedgerEntry]]) -> tuple[LedgerEntry, ...]:
    """Add the lines that ``new`` makes of the ledger as it is, durably, and give those; one is begun where none is.

    What a write that was cut off left at its end is taken away first: no head ever counted it. JournalError where it
    can't be read; JournalBusy where another program writes it; JournalLost if the disk refuses.
    """
    path = root / NAME
    try:
        make_folder(root)
    except OSError as error:
        raise lost("add to the ledger", path, error) from error
    with held(path, "add to the ledger"):
        ledger = load_ledger(root)
        added = tuple(new(ledger or SealLedger()))
        data = b"".join(entry.line + b"\n" for entry in added)
        if ledger is None:
            place_new(path, HEADER)
        with open(path, "ab", buffering=0, opener=private) as file:
            if ledger is not None and ledger.torn:
                file.truncate(file.seek(0, os.SEEK_END) - len(ledger.torn))
            write_all(file.fileno(), data)
            sync(file.fileno())
        return added
