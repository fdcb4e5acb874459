"""Reads a recording in a thread: one at a time, and one that is left comes to nothing."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.worker import get_current_worker

from wizard.screens.viewmodels.reading import recording_lines

if TYPE_CHECKING:
    from wizard.measure.vibration.recording_file import Recording


class RecordingReader:
    """Works for a ``widget`` as long as that is mounted.

    ``begun`` is called as it begins, ``done`` gets what was read, or what is wrong with it. ``source`` is the file that
    is read, or was last; ``reading`` says that it is still under way.
    """

    def __init__(
        self, widget: Widget, begun: Callable[[], None], done: Callable[[Recording | str], None]
    ) -> None:
        self._widget, self._begun, self._done, self._ticket = widget, begun, done, 0
        self.source, self.reading = Path(), False

    def read(self, path: Path) -> None:
        """Read a file, in place of one that is being read."""
        self.source, self.reading = path, True
        self._ticket += 1
        self._begun()
        load = partial(self._load, path, self._ticket)
        self._widget.run_worker(load, thread=True, exclusive=True, group="recording")

    def leave(self) -> None:
        """Leave what is being read."""
        self._ticket, self.reading = self._ticket + 1, False

    def _load(self, path: Path, ticket: int) -> None:
        found = recording_lines.read(path)
        if self._widget.is_mounted and not get_current_worker().is_cancelled:
            self._widget.call_later(self._loaded, ticket, found)

    def _loaded(self, ticket: int, found: Recording | str) -> None:
        if ticket == self._ticket and self._widget.is_mounted:
            self.reading = False
            self._done(found)
