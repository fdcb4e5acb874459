"""Read a journal that was damaged, up to the damage and past it: each block is sealed, so those behind are checked too.

A seal is made of the block's bytes and of the chain value before them. That stands in the block before even where the
rest of that block is altered; where it is the chain value that was, what it was is computed again from the block. What
fits neither is left out. Nothing is altered, and nothing is guessed: what is read here is as it was sealed.
Whether whole blocks were taken out is said by a check of the session alone (``journal_verification``).
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wizard.domain.counting import plural
from wizard.foreign.limits import SOURCE_LIMITS, Source
from wizard.journal.durable_io import load
from wizard.journal.journal_reader import line_of
from wizard.journal.sealed_block import CHAIN, CLOSE, HEADER, SEAL, START, decode, ends_whole, seal

_MARKS = re.compile(re.escape(CHAIN) + rb"([0-9a-f]{64})")
_MOST = SOURCE_LIMITS[Source.EVENT].size
_TRIED = 3
"""Seals that are tried for one start: behind a damaged seal the next one may be that of two blocks run together."""

_REMEMBERED = 12
"""Chain values of damaged blocks that the next one may hang on."""


@dataclass(frozen=True, slots=True)
class JournalDamage:
    """Bytes of a journal that no seal holds: the line that they begin on, and how many they are.

    ``after`` counts the events before it that were read. ``event``: they are the seal of an event that is whole, which
    the block behind it shows. ``end``: nothing sealed follows, as behind a write that was cut short; ``whole``: it is
    none of these, but a whole block, altered.
    """

    line: int
    raw: bytes
    after: int
    event: bool = False
    end: bool = False

    @property
    def whole(self) -> bool:
        """Whether it is a last block that ends as one does, so that no write of it was cut short."""
        return self.end and ends_whole(self.raw)

    @property
    def text(self) -> str:
        """What is wrong and where, as a sentence."""
        count = plural(len(self.raw), "byte")
        if self.event:
            return f"Line {self.line}: the seal of event {self.after} was altered, {count}; the event is as it was."
        if self.whole:
            return (
                f"Line {self.line}: the last block was altered, or is there twice: {count} that fit no seal."
            )
        if self.end:
            return f"Line {self.line}: {count} at the end fit no seal: a write that was cut short, or an altered block."
        if len(self.raw) <= len(CLOSE):
            return f"Line {self.line}: {count} between two events were altered. No event is missing by it."
        place = f"behind the event read as number {self.after}" if self.after else "before the first event"
        return f"Line {self.line}: {count} fit no seal and are left out, {place}."


@dataclass(frozen=True, slots=True)
class SalvagedJournal:
    """The events that their seals hold, with their chain values, and the damage between them."""

    events: tuple[dict[str, Any], ...]
    chains: tuple[str, ...]
    damage: tuple[JournalDamage, ...]


@dataclass(frozen=True, slots=True)
class _Block:
    """A block whose seal holds: where it starts and stops, its chain value, and which one it hangs on."""

    start: int
    stop: int
    chain: str
    before: str


def salvage(path: Path) -> SalvagedJournal:
    """Read what can be read of a journal. JournalError if the file itself can't be."""
    return salvaged(load(path))


def salvaged(data: bytes) -> SalvagedJournal:
    """The same for the bytes of a journal."""
    search = _Search(data)
    events: list[dict[str, Any]] = []
    chains: list[str] = []
    damage: list[JournalDamage] = []
    at, near = 0, START
    while (block := search.next(at, near)) is not None:
        whole = search.proved(at, near, block)
        if whole is not None and (event := _event(data[whole.start : whole.stop] + _ending(whole.chain))):
            damage += _damage(data, at, whole.start, len(events))
            events.append(event)
            chains.append(whole.chain)
            damage += _damage(data, whole.stop, block.start, len(events), True)
        else:
            damage += _damage(data, at, block.start, len(events))
        found = _event(data[block.start : block.stop - len(_ending(block.chain))] + _ending(block.chain))
        at, near = min(block.stop, len(data)), block.chain
        if found is None:
            damage += _damage(data, block.start, at, len(events))
        else:
            events.append(found)
            chains.append(block.chain)
            if block.stop <= len(data) and data[at - len(CLOSE) : at] != CLOSE:
                damage += _damage(data, at - len(CLOSE), at, len(events))
    if at < len(data):
        damage.append(JournalDamage(line_of(data, at), data[at:], len(events), end=True))
    return SalvagedJournal(tuple(events), tuple(chains), tuple(damage))


def _damage(data: bytes, start: int, stop: int, after: int, event: bool = False) -> list[JournalDamage]:
    return [JournalDamage(line_of(data, start), data[start:stop], after, event)] if start < stop else []


def _ending(chain: str) -> bytes:
    """The last line of a block."""
    return CHAIN + chain.encode("ascii") + CLOSE


def _event(block: bytes) -> dict[str, Any] | None:
    """The event of a block whose seal holds; None where it is none all the same."""
    try:
        return decode(block)
    except ValueError:
        return None


class _Search:
    """Where blocks may start in a journal's bytes, and where a chain value stands."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._starts = [m.start() for m in re.finditer(re.escape(HEADER), data)]
        self._marks = [(m.start(), m[1].decode("ascii")) for m in _MARKS.finditer(data)]
        self._places = [place for place, _chain in self._marks]

    def next(self, at: int, near: str) -> _Block | None:
        """The first block from ``at`` on whose seal fits what stands before it: ``near``, or in a damaged block."""
        for start in self._starts[bisect_left(self._starts, at) :]:
            known = (near, *self._damaged(at, start), *(g for g, _b in self._guesses(at, start, near)))
            for body, chain, place in self._sealed(start):
                before = next((b for b in dict.fromkeys(known) if seal(b, body) == chain), None)
                if before is not None:
                    return _Block(start, place + len(_ending(chain)), chain, before)
        return None

    def proved(self, at: int, near: str, block: _Block) -> _Block | None:
        """The damaged block on which this one hangs by what was computed of it: it is whole but for its seal."""
        if block.before == near or block.before in self._damaged(at, block.start):
            return None
        return next((b for g, b in self._guesses(at, block.start, near) if g == block.before), None)

    def _sealed(self, start: int) -> Iterator[tuple[bytes, str, int]]:
        """What may be a block's body with the chain value behind it, and where that stands."""
        first = bisect_left(self._places, start)
        for place, chain in self._marks[first : first + _TRIED]:
            if place - start > _MOST:
                return
            body = self._data[start:place]
            if body.endswith(SEAL):
                yield body, chain, place

    def _damaged(self, at: int, start: int) -> tuple[str, ...]:
        """The last chain values that stand in what is damaged."""
        first, last = bisect_left(self._places, at), bisect_left(self._places, start)
        return tuple(chain for _place, chain in self._marks[first:last][-_REMEMBERED:])

    def _guesses(self, at: int, start: int, near: str) -> Iterator[tuple[str, _Block]]:
        """What the chain value of a block must have been that stands before ``start`` and whose seal is damaged."""
        first, last = bisect_left(self._starts, at), bisect_left(self._starts, start)
        for begun in self._starts[first:last][-_TRIED:]:
            mark = self._data.find(SEAL, begun, min(start, begun + _MOST))
            if mark < 0:
                continue
            stop = mark + len(SEAL)
            for before in dict.fromkeys((near, *self._damaged(at, begun))):
                guess = seal(before, self._data[begun:stop])
                yield guess, _Block(begun, stop, guess, before)
