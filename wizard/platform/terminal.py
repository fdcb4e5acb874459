"""Whether the terminal that the program was started in is still there."""

from __future__ import annotations

import os
import sys
import threading
import time

LOOK = 1.0
"""Seconds between two looks."""


def end_when_lost(code: int) -> None:
    """Watch the terminal from now on, and end this process with an exit code once it is gone.

    At once, and from a thread of its own: whatever else runs may wait for the terminal for ever. Every event is on
    the disk, and the system lets the journal's lock go.
    """
    threading.Thread(target=_watch, args=(code,), name="terminal", daemon=True).start()


def _watch(code: int) -> None:
    while not lost():
        time.sleep(LOOK)
    os._exit(code)


def lost() -> bool:
    """True once the window was closed, or the line to it cut, and no signal ended this process.

    What is read then is nothing, again and again, and what is drawn is seen by nobody.
    """
    stream = sys.__stdin__
    try:
        return stream is None or not os.isatty(stream.fileno())
    except (OSError, ValueError):
        return True
