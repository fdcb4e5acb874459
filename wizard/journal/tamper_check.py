"""Tell from the chain what was done to a journal's blocks: altered, moved, repeated, spliced, missing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.journal.sealed_block import START, decode, seal
from wizard.journal.splitter import Piece

_MOST_BYTES = 200_000_000
_MOST_GUESSES = 4
_BEFORE_ALL = -1


@unique
class TamperKind(StrEnum):
    """What was done to a journal: its last write was torn; a block was altered, can't be tied to an altered one, is
    missing, out of order, of another journal, there once more, cut off the end, of no block, or no event; the whole
    file was converted, or is empty.
    """

    TORN = "torn"
    ALTERED = "altered"
    UNLINKED = "unlinked"
    MISSING = "missing"
    REORDERED = "reordered"
    SPLICED = "spliced"
    REPEATED = "repeated"
    CUT_OFF = "cut-off"
    STRAY = "stray"
    UNREADABLE = "unreadable"
    CONVERTED = "converted"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class Tampering:
    """One thing that is wrong, with the block (from 1) and the line that it is at."""

    kind: TamperKind
    block: int
    line: int
    text: str


class TamperCheck:
    """Goes through the pieces in order and notes each that does not follow the one before it.

    ``before`` holds for each piece the index of the piece that it was written after, -1 for the start of the
    journal, and None if no piece here is that; ``problems`` what was found, by index.
    """

    def __init__(self, pieces: tuple[Piece, ...], counter: str) -> None:
        self.pieces = pieces
        self.counter = counter
        self.before: dict[int, int | None] = {}
        self.problems: dict[int, Tampering] = {}
        self._roots: set[int] = set()
        self._last = _BEFORE_ALL
        self._near = [START]
        self._seen: dict[tuple[str, bytes], int] = {}
        self._places = {START: _BEFORE_ALL}
        for index, piece in enumerate(pieces):
            if piece.chain is not None:
                self._places.setdefault(piece.chain, index)
        self._budget = _MOST_BYTES
        for index in range(len(pieces)):
            self._take(index)
        for index in sorted(self._roots):
            self._explain_root(index)

    def _say(self, index: int, kind: TamperKind, text: str) -> None:
        piece = self.pieces[index]
        self.problems[index] = Tampering(kind, piece.number, piece.line, text)

    def _take(self, index: int) -> None:
        """Find what the piece follows, and note it if that is not the piece before."""
        piece = self.pieces[index]
        if piece.chain is None:
            self._take_unsealed(index)
            return
        first = self._seen.setdefault((piece.chain, piece.body), index)
        if first != index:
            self.before[index] = self.before[first]
            self._say(index, TamperKind.REPEATED, f"It is block {first + 1} once more.")
        elif not self._follows_last(index):
            self._look_elsewhere(index)
        if index in self._roots:
            # Either its bytes or its seal may be what was altered: the next block tells which.
            self._near = [piece.chain, *(seal(near, piece.body) for near in self._near)][:_MOST_GUESSES]
        else:
            self._near = [piece.chain]
        self._last = index
        self._check_content(index)

    def _take_unsealed(self, index: int) -> None:
        piece = self.pieces[index]
        if piece.stray:
            self._say(index, TamperKind.STRAY, "These bytes belong to no block.")
            return
        if index == len(self.pieces) - 1 and not piece.closed:
            self._say(
                index,
                TamperKind.TORN,
                f"The last write was cut off: {len(piece.raw)} bytes have no whole seal.",
            )
        else:
            self._say(index, TamperKind.ALTERED, "The block has no whole seal.")
        self.before[index] = None
        self._near = [seal(near, piece.body) for near in self._near]
        self._last = index

    def _follows_last(self, index: int) -> bool:
        """Whether it was written after the piece before it; if only that one's seal was altered, say so."""
        for near in self._near:
            if self.pieces[index].fits(near):
                self.before[index] = self._last
                if self._last in self._roots and near != self.pieces[self._last].chain:
                    self._roots.discard(self._last)
                    self._say(
                        self._last,
                        TamperKind.ALTERED,
                        "Its seal was altered; the block itself is as it was written.",
                    )
                return True
        return False

    def _look_elsewhere(self, index: int) -> None:
        place = self._search(index)
        self.before[index] = place
        if place is None:
            self._roots.add(index)
        elif place > index:
            self._say(
                index,
                TamperKind.REORDERED,
                f"It was written after block {place + 1}, which stands further down.",
            )
        else:
            self._join(index, place)

    def _search(self, index: int) -> int | None:
        """The piece that this one was written after, wherever it stands."""
        piece = self.pieces[index]
        for chain, place in self._places.items():
            self._budget -= len(piece.body)
            if self._budget < 0:
                return None
            if place != index and piece.fits(chain):
                return place
        return None

    def _join(self, index: int, place: int) -> None:
        """It was written after an earlier piece, so what stands between does not belong there."""
        between = range(place + 1, index)
        if any(self.before.get(other) == place and other not in self.problems for other in between):
            after = "the start" if place == _BEFORE_ALL else f"block {place + 1}"
            text = f"It was written after {after}, as another block here was: two journals were put together."
            self._say(index, TamperKind.SPLICED, text)
            return
        for other in between:
            if self._foreign(other, place):
                self._roots.discard(other)
                text = f"It was put in: block {index + 1} was written straight after what stands before."
                self._say(other, TamperKind.SPLICED, text)

    def _foreign(self, index: int, place: int) -> bool:
        """Whether a piece after ``place`` hangs on nothing of this journal."""
        at: int | None = index
        while at is not None and at > place:
            if at in self._roots:
                return True
            if at in self.problems:
                return self.problems[at].kind is TamperKind.SPLICED
            at = self.before.get(at)
            if at is not None and at >= index:
                return False
        return False

    def _check_content(self, index: int) -> None:
        """A seal that holds over what is no event was not made by this program."""
        piece = self.pieces[index]
        if index in self._roots or index in self.problems:
            return
        if not piece.closed:
            self._say(
                index, TamperKind.TORN, "Only the last newline is missing; opening the session mends it."
            )
        try:
            decode(piece.raw)
        except ValueError as error:
            self._say(index, TamperKind.UNREADABLE, f"Its seal holds, but it can't be read ({error}).")

    def _explain_root(self, index: int) -> None:
        """Say the likeliest reason why a seal fits nothing here; the numbers in the events tell more."""
        gap = self._gap(index)
        before = self.problems.get(index - 1)
        if not self.pieces[index].headed:
            self._say(index, TamperKind.ALTERED, "Its first line is not [[event]].")
        elif before is not None and before.kind in (TamperKind.ALTERED, TamperKind.UNLINKED):
            self._say(
                index, TamperKind.UNLINKED, f"It can't be tied to block {index}, which is damaged itself."
            )
        elif gap > 0:
            text = f"{gap} blocks are missing before it, as the numbers in the events say."
            self._say(
                index, TamperKind.MISSING, text.replace("1 blocks are", "1 block is") if gap == 1 else text
            )
        elif gap < 0:
            text = "It comes from another journal: its number does not go on from the last one before it."
            self._say(index, TamperKind.SPLICED, text)
        else:
            text = "Its seal does not fit: it was altered, or it and what follows come from another journal."
            self._say(index, TamperKind.ALTERED, text)

    def _gap(self, index: int) -> int:
        """How many numbers are left out before a piece, negative if it goes back, 0 if none or if unknown."""
        last = self._number(index - 1) if index else 0
        here, after = self._number(index), self._number(index + 1)
        # If the next one does not go on from here, it is the number itself that was altered.
        if last is None or here is None or after not in (None, here + 1):
            return 0
        # A journal may number from 0 or from 1: a first block is never too early.
        return here - last - 1 if index else max(0, here - 1)

    def _number(self, index: int) -> int | None:
        return self.pieces[index].count(self.counter) if index < len(self.pieces) else None
