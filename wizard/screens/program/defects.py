"""The program's own defects while it runs: each is kept in the log, and work goes on, as long as they are few."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from textual.worker import WorkerFailed

from wizard.platform import crash_log

MOST = 3
"""Defects that are survived within WITHIN; the next one ends the program."""

WITHIN = 10.0
"""Seconds."""


class Defects:
    """Those of one run. ``mono`` gives seconds on a clock that never goes back."""

    def __init__(self, root: Path, mono: Callable[[], float]) -> None:
        self._root, self._mono = root, mono
        self._times: tuple[float, ...] = ()

    def met(self, error: BaseException) -> str:
        """Keep the whole traceback; what to say where work can go on, empty where there were too many just now."""
        now = self._mono()
        self._times = (*(t for t in self._times if now - t < WITHIN), now)
        if len(self._times) > MOST:
            return ""
        return crash_log.survived(self._root, cause(error))

    def follows(self, error: BaseException) -> None:
        """Keep the traceback of what only follows from one that was met, while the screens are made anew."""
        crash_log.survived(self._root, cause(error))

    @property
    def again(self) -> bool:
        """True where the last one followed close on another: what was tried to go on did not help."""
        return len(self._times) > 1


def cause(error: BaseException) -> BaseException:
    """The error itself, where a worker's failure only wraps it."""
    return error.error if isinstance(error, WorkerFailed) else error
