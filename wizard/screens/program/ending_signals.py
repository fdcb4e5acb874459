"""Signals that end a program of the screens: the terminal is given back first, and the exit code is the table's."""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from wizard.errors import INTERRUPTED, TERMINATED

if TYPE_CHECKING:
    from textual.app import App

ENDS: Mapping[str, int] = {"SIGTERM": TERMINATED, "SIGHUP": TERMINATED, "SIGINT": INTERRUPTED}
"""The exit code of each; Windows knows no hang-up."""


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
