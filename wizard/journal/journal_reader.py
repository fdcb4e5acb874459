"""Read a journal and check every seal, at the price of parsing it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wizard.errors import JournalError
from wizard.foreign.limits import SOURCE_LIMITS, Source
from wizard.journal.durable_io import load
from wizard.journal.sealed_block import (
    CHAIN,
    CLOSE,
    ENDS,
    HEADER,
    SEAL,
    START,
    STARTS,
    decode,
    ends_whole,
    seal,
)

NAME = "journal.toml"
"""The journal's file in a session's folder."""

_MARK = SEAL + CHAIN
_CRLF = b"\r\n"
_BOMS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True)
class JournalContents:
    """What a journal holds: the events, seals taken off, with the chain value of each.

    ``stop`` is the length in bytes of the sealed part, ``last_start`` where its last block starts, and
    ``torn`` the bytes after it: a write cut short. ``lacks_newline`` says that the last block lacks only its
    last newline and was taken as whole. ``plain``: from its first byte to its last it is these blocks, and nowhere else
    in it could one start or end.
    """

    path: Path
    events: tuple[dict[str, Any], ...]
    chains: tuple[str, ...]
    stop: int
    last_start: int
    torn: bytes
    lacks_newline: bool
    plain: bool = False

    @property
    def last_chain(self) -> str:
        """The chain value that the next block builds on."""
        return self.chains[-1] if self.chains else START

    @property
    def strange(self) -> bool:
        """True when ``torn`` is no write cut short but a whole block whose seal does not fit: altered or repeated."""
        return ends_whole(self.torn)


def read(path: Path) -> JournalContents:
    """Read and verify a journal; nothing is altered.

    A last block without a valid seal is left out of the events and handed over as ``torn``. JournalError says
    what is wrong, in which block and line, when there is damage before the end.
    """
    return parse(load(path), path)


def parse(data: bytes, path: Path) -> JournalContents:
    """The same as :func:`read` for the bytes of a journal; ``path`` is for messages."""
    events: list[dict[str, Any]] = []
    chains: list[str] = []
    at, last, previous = 0, 0, START
    while (found := _sealed(data, at, previous)) is not None:
        stop, previous = found
        if len(events) >= SOURCE_LIMITS[Source.JOURNAL].values:
            raise JournalError(
                f"{path}: more than {len(events)} events, which no session has. Restore it from a copy."
            )
        events.append(_event(data, at, stop, len(events) + 1, path))
        chains.append(previous)
        at, last = stop, at
    if at < len(data):
        _refuse_damage(data, at, len(events) + 1, path)
    lacks_newline = bool(chains) and at == len(data) and not data.endswith(b"\n")
    whole = bool(chains) and at == len(data) and not lacks_newline
    plain = whole and all(len(sign.findall(data)) == len(chains) for sign in (STARTS, ENDS))
    return JournalContents(path, tuple(events), tuple(chains), at, last, data[at:], lacks_newline, plain)


def line_of(data: bytes, at: int) -> int:
    """The line, from 1, that a byte is on."""
    return data.count(b"\n", 0, at) + 1


def transfer_damage(data: bytes) -> str | None:
    """What an editor or a transfer did to the whole file, or None."""
    if data.startswith(_BOMS):
        return (
            "an editor put a byte-order mark in front or changed the encoding. Save it as UTF-8 without one"
        )
    if data.startswith(HEADER.replace(b"\n", _CRLF)):
        return "its line ends were changed to CRLF, by an editor or a transfer. Change them back to LF"
    return None


def _sealed(data: bytes, at: int, previous: str) -> tuple[int, str] | None:
    """The end and the chain value of the block at ``at``, or None if no valid block starts there."""
    if not data.startswith(HEADER, at) or (mark := data.find(_MARK, at)) < 0:
        return None
    digits = mark + len(_MARK)
    stop = digits + 64 + len(CLOSE)
    close = data[digits + 64 : stop]
    # A write cut just before the last newline left nothing out that matters.
    if close != CLOSE and (close != CLOSE[:1] or stop != len(data) + 1):
        return None
    chain = seal(previous, data[at : mark + len(SEAL)])
    return (min(stop, len(data)), chain) if chain.encode("ascii") == data[digits : digits + 64] else None


def _event(data: bytes, at: int, stop: int, number: int, path: Path) -> dict[str, Any]:
    """The event of a block whose seal holds. JournalError if it is not an event all the same."""
    try:
        return decode(data[at:stop])
    except ValueError as error:
        where = f"{path}:{line_of(data, at)} block {number}"
        raise JournalError(
            f"{where}: its seal holds, but it can't be read ({error}). Another program wrote it. "
            f"Restore the file from a copy."
        ) from error


def _refuse_damage(data: bytes, at: int, number: int, path: Path) -> None:
    """Raise JournalError unless what follows ``at`` can be one write that was cut short."""
    where = f"{path}:{line_of(data, at)} block {number}"
    if at == 0 and (what := transfer_damage(data)) is not None:
        raise JournalError(f"{where}: {what}, or restore the file from a copy.")
    if at == 0 and not HEADER.startswith(data[: len(HEADER)].rstrip(b"\0")):
        raise JournalError(
            f"{where}: this is no journal: it does not start with [[event]]. Restore it from a copy."
        )
    more = data.find(b"\n" + HEADER, at) >= 0 or data.count(_MARK, at) > 1
    if not more:
        return
    if not data.startswith(HEADER, at):
        wrong = "here should be a line [[event]]"
    else:
        wrong = "its seal does not fit: the block was altered, or one before it is missing"
    raise JournalError(
        f"{where}: {wrong}. More blocks follow, so this is no cut-off write. Nothing was changed. "
        f"Verify the session to see all that is wrong, or restore the file from a copy."
    )
