"""Lines in: each with the moment when it came. They are read in a thread, so that what piles up is known as such."""

from __future__ import annotations

import os
import queue
import select
import threading
from collections.abc import Callable
from dataclasses import dataclass
from time import sleep
from typing import Protocol

from wizard.foreign.limits import TEXT_LENGTH

PIECE = 65_536
"""Bytes taken at once."""

MOST = 4 * TEXT_LENGTH + 2
"""Bytes of a line that is kept; what is longer is cut there, and is too long for any question."""


PAUSE = 0.05
"""Seconds between two looks, where nothing tells when there is more."""


class InputOver(Exception):
    """The input ended, or the terminal was hung up."""


@dataclass(frozen=True, slots=True)
class TypedLine:
    """A line without its end, and when it came by the steady clock, s."""

    text: str
    at: float


class LineSource(Protocol):
    """Where lines come from."""

    def next(self, seconds: float) -> TypedLine | None:
        """The next line, or None where none comes in so many seconds. InputOver where no more can come."""
        ...

    def waiting(self) -> tuple[TypedLine, ...]:
        """All lines that came already; they are gone then."""
        ...


class LineInput:
    """Reads a file descriptor (0 for standard input). ``mono`` is the steady clock."""

    def __init__(self, descriptor: int, encoding: str, mono: Callable[[], float]) -> None:
        self._encoding, self._mono = encoding, mono
        self._came: queue.SimpleQueue[TypedLine | None] = queue.SimpleQueue()
        self._over = False
        # Unbuffered: a thread that waits in a buffered reader as the program ends would hold its lock.
        self._raw = os.fdopen(descriptor, "rb", buffering=0, closefd=False)
        threading.Thread(target=self._read, daemon=True, name="lines").start()

    def next(self, seconds: float) -> TypedLine | None:
        """The next line, or None where none comes in so many seconds. InputOver where no more can come."""
        if self._over:
            raise InputOver
        try:
            line = self._came.get(timeout=seconds)
        except queue.Empty:
            return None
        if line is None:
            self._over = True
            raise InputOver
        return line

    def waiting(self) -> tuple[TypedLine, ...]:
        """All lines that came already; they are gone then. The end of input stays to be met."""
        found: list[TypedLine] = []
        while not self._over:
            try:
                line = self._came.get_nowait()
            except queue.Empty:
                break
            if line is None:
                self._over = True
            else:
                found.append(line)
        return tuple(found)

    def end(self) -> None:
        """No line is taken any more, as if the input had ended. May be called by the handler of a signal."""
        self._over = True
        self._came.put(None)

    def _read(self) -> None:
        """In the thread. A last line that no line end follows was not finished, and is nobody's answer."""
        begun = b""
        try:
            while (piece := self._raw.read(PIECE)) != b"":
                if piece is None:
                    self._await()
                    continue
                now = self._mono()
                *whole, begun = (begun + piece).replace(b"\r\n", b"\n").split(b"\n")
                for line in whole:
                    self._came.put(TypedLine(self._text(line), now))
                begun = begun[:MOST]
        except (OSError, ValueError):
            pass  # A terminal that is gone reads so: it is the end of input, which the reader is told below.
        self._came.put(None)

    def _await(self) -> None:
        """A descriptor that does not block has nothing yet. It is shared with whoever set it so, and stays as it is."""
        try:
            select.select([self._raw], [], [])
        except (
            ValueError,
            OSError,
        ):  # Its number is too high for that call, or it is no socket where it takes no other.
            sleep(PAUSE)

    def _text(self, line: bytes) -> str:
        return line[:MOST].decode(self._encoding, errors="replace")
