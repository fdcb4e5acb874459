"""Reads the recording of a spin in a thread: one at a time, with its progress; one that is left ends soon."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from textual.widget import Widget

from wizard.engine.messages.spin_record import SpinRecord
from wizard.screens.aids.spin_reading import read_spin

_STEP = 0.02  # of the whole, between two words on the progress


class _LeftEarly(Exception):
    """The reading was left: its work ends here."""


class SpinReader:
    """Works for a ``widget`` as long as that is mounted.

    ``begun`` is called as it begins, ``going`` as more of it is done (``share``); ``done`` gets what was read
    with its SHA-256, or what is wrong with the file. ``source`` is the file; ``reading`` says that it is under way.
    """

    def __init__(
        self,
        widget: Widget,
        begun: Callable[[], None],
        going: Callable[[], None],
        done: Callable[[tuple[SpinRecord, str] | str], None],
    ) -> None:
        self._widget, self._begun, self._going, self._done, self._ticket = widget, begun, going, done, 0
        self.source, self.reading, self.share = Path(), False, 0.0

    def read(self, path: Path, bearings: tuple[str, ...]) -> None:
        """Read a file, in place of one that is being read."""
        self.source, self.reading, self.share = path, True, 0.0
        self._ticket += 1
        self._begun()
        load = partial(self._load, path, bearings, self._ticket)
        self._widget.run_worker(load, thread=True, exclusive=True, group="spin")

    def leave(self) -> None:
        """Leave what is being read."""
        self._ticket, self.reading = self._ticket + 1, False

    def _load(self, path: Path, bearings: tuple[str, ...], ticket: int) -> None:
        """In the thread: read and analyse; what is left comes to nothing."""
        shown = 0.0

        def going(share: float) -> None:
            nonlocal shown
            if ticket != self._ticket or not self._widget.is_mounted:
                raise _LeftEarly
            if share - shown >= _STEP:
                shown = share
                self._widget.call_later(self._went, ticket, share)

        try:
            found = read_spin(path, bearings, going)
        except _LeftEarly:
            return
        if ticket == self._ticket and self._widget.is_mounted:
            self._widget.call_later(self._loaded, ticket, found)

    def _went(self, ticket: int, share: float) -> None:
        if ticket == self._ticket and self.reading and self._widget.is_mounted:
            self.share = share
            self._going()

    def _loaded(self, ticket: int, found: tuple[SpinRecord, str] | str) -> None:
        if ticket == self._ticket and self._widget.is_mounted:
            self.reading = False
            self._done(found)
