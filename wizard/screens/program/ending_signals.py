"""Signals that end a program of the screens: the terminal is given back first, and the exit code is the table's."""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from wizard.errors import INTERRUPTED, TERMINATED, TerminalError

if TYPE_CHECKING:
    from textual.app import App

HANG_UP = "SIGHUP"
ENDS: Mapping[str, int] = {
    "SIGTERM": TERMINATED,
    HANG_UP: TERMINATED,
    "SIGQUIT": TERMINATED,
    "SIGINT": INTERRUPTED,
}
"""The exit code of each; Windows knows no hang-up, and no quitting."""


def lost_code() -> int:
    """The exit code where the terminal is gone: that of a hang-up, which comes with it sooner or later; that of no
    terminal where hang-ups are ignored, or unknown.
    """
    number = getattr(signal, HANG_UP, None)
    ignored = number is None or signal.getsignal(number) is signal.SIG_IGN
    return TerminalError.exit_code if ignored else ENDS[HANG_UP]


def end_by_signals(app: App[int]) -> None:
    """Have each of them end a program by its own way out; one that whoever started it has ignored stays ignored.

    Called once its loop runs. Windows' loop takes no handlers: there the system ends it.
    """
    loop = asyncio.get_running_loop()
    for name, code in ENDS.items():
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            with suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, app.exit, code)
