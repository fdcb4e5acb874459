"""Reads a file in a thread: one at a time, with its progress; one that is left ends soon, and comes to nothing."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Generic, TypeVar

from textual.widget import Widget

R = TypeVar("R")
Share = Callable[[float], None]
"""Is called now and then with the share that is done, from 0 to 1."""

_STEP = 0.02  # of the whole, between two words on the progress


class _LeftEarly(Exception):
    """The reading was left: its work ends here."""


class RecordingReader(Generic[R]):
    """Works for a ``widget`` as long as that is mounted.

    ``going`` is called as it begins, and as more of it is done (``share``); ``done`` gets what was read, or what is
    wrong with the file. ``source`` is the file that is read, or was last; ``reading`` says that it is under way.
    """

    def __init__(self, widget: Widget, going: Callable[[], None], done: Callable[[R | str], None]) -> None:
        self._widget, self._going, self._done, self._ticket = widget, going, done, 0
        self.source, self.reading, self.share = Path(), False, 0.0

    def read(self, path: Path, load: Callable[[Path, Share], R | str]) -> None:
        """Read a file by ``load``, in place of one that is being read."""
        self.source, self.reading, self.share = path, True, 0.0
        self._ticket += 1
        self._going()
        work = partial(self._load, path, load, self._ticket)
        self._widget.run_worker(work, thread=True, exclusive=True, group="recording")

    def leave(self) -> None:
        """Leave what is being read."""
        self._ticket, self.reading = self._ticket + 1, False

    def _load(self, path: Path, load: Callable[[Path, Share], R | str], ticket: int) -> None:
        """In the thread: read; what is left comes to nothing."""
        shown = 0.0

        def going(share: float) -> None:
            nonlocal shown
            if ticket != self._ticket or not self._widget.is_mounted:
                raise _LeftEarly
            if share - shown >= _STEP:
                shown = share
                self._widget.call_later(self._went, ticket, share)

        try:
            found = load(path, going)
        except _LeftEarly:
            return
        if ticket == self._ticket and self._widget.is_mounted:
            self._widget.call_later(self._loaded, ticket, found)

    def _went(self, ticket: int, share: float) -> None:
        if ticket == self._ticket and self.reading and self._widget.is_mounted:
            self.share = share
            self._going()

    def _loaded(self, ticket: int, found: R | str) -> None:
        if ticket == self._ticket and self._widget.is_mounted:
            self.reading = False
            self._done(found)
