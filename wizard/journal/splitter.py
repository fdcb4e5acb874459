"""Cut a journal, damaged or not, into the pieces that were its blocks."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass
from typing import Any

from wizard.journal.journal_reader import line_of
from wizard.journal.sealed_block import CHAIN, CLOSE, ENDS, HEADER, SEAL, STARTS, decode, seal

_CHAIN_LINE = re.compile(rb'chain = "([0-9a-f]{64})"\n?\Z')
_LIKE_SEAL = len(SEAL) - 4
_WHOLE = len(CHAIN) + 64 + len(CLOSE)


@dataclass(frozen=True, slots=True)
class Piece:
    """What stands between two places where a block can start.

    ``body`` is what a seal is made of, ``chain`` the chain value that stands at the end, None if there is no
    whole one, and ``number`` and ``line`` the place in the file, both from 1.
    """

    number: int
    line: int
    raw: bytes
    body: bytes
    chain: str | None

    @property
    def headed(self) -> bool:
        """Whether it starts as a block does."""
        return self.raw.startswith(HEADER)

    @property
    def closed(self) -> bool:
        """Whether it is as long as a block with its seal: a write cut short is not."""
        return self.raw.endswith(b"\n") if self.chain else len(self.raw) - len(self.body) >= _WHOLE

    @property
    def stray(self) -> bool:
        """Whether it has neither a block's start (or what a cut-off write leaves of one) nor a seal."""
        start = self.raw[: len(HEADER)].rstrip(b"\0")
        return self.chain is None and SEAL not in self.raw and not HEADER.startswith(start)

    def fits(self, previous: str) -> bool:
        """Whether the seal holds if the chain value before the block was ``previous``."""
        return seal(previous, self.body) == self.chain

    def count(self, counter: str) -> int | None:
        """The whole number that the event keeps under a key, or None if it keeps none or can't be read."""
        try:
            value: Any = decode(self.raw).get(counter)
        except ValueError:
            return None
        return value if isinstance(value, int) and not isinstance(value, bool) else None


def cut(data: bytes) -> tuple[Piece, ...]:
    """The pieces of a journal's bytes, in their order; together they are all of the bytes."""
    bounds = {0, len(data)}
    bounds.update(match.start() for match in STARTS.finditer(data))
    bounds.update(match.end() for match in ENDS.finditer(data))
    places = sorted(bounds)
    pieces = []
    line, before = 1, 0
    for number, (start, stop) in enumerate(itertools.pairwise(places), 1):
        line += line_of(data[before:start], start - before) - 1
        before = start
        pieces.append(_piece(number, line, data[start:stop]))
    return tuple(pieces)


def _piece(number: int, line: int, raw: bytes) -> Piece:
    """One piece, taken apart at its seal, even if the line [event.seal] itself is damaged."""
    found = _CHAIN_LINE.search(raw)
    if found and _like_seal(raw[: found.start()]):
        return Piece(number, line, raw, raw[: found.start()], found[1].decode("ascii"))
    mark = raw.rfind(SEAL)
    return Piece(number, line, raw, raw[: mark + len(SEAL)] if mark >= 0 else raw, None)


def _like_seal(body: bytes) -> bool:
    """Whether bytes end in a seal's table line, give or take a few bytes: an event may have a key 'chain' of its
    own.
    """
    return sum(a == b for a, b in zip(body[-len(SEAL) :], SEAL, strict=False)) >= _LIKE_SEAL
