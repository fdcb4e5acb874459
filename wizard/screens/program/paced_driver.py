"""Keys at the pace of hands: what comes far faster, a long text sent as keys, is dropped where it comes in.

Each key that goes on costs some kB until it is dealt with; 358 kB of them took a gigabyte and a minute.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from textual import events

if TYPE_CHECKING:
    from textual.driver import Driver
    from textual.message import Message

BURST = 600
"""Keys that may come at once: two fields' length."""

PACE = 100.0
"""Keys a second in the long run; the fastest hands do twenty."""


class Pace:
    """Lets keys pass: BURST of them at once, then PACE a second. The time is handed in, in seconds."""

    def __init__(self) -> None:
        self._left, self._at = float(BURST), float("-inf")

    def lets(self, now: float) -> bool:
        """Whether a key that comes now goes on."""
        self._left = min(float(BURST), self._left + PACE * (now - self._at))
        self._at = now
        if self._left < 1.0:
            return False
        self._left -= 1.0
        return True


def paced(kind: type[Driver]) -> type[Driver]:
    """The driver of this platform, with a pace."""

    class PacedDriver(kind):  # type: ignore[misc, valid-type]
        """What it reads it hands on, but for keys that are too many."""

        pace = Pace()

        def process_message(self, message: Message) -> None:
            """Hand on a message; called where the terminal is read."""
            if not isinstance(message, events.Key) or self.pace.lets(time.monotonic()):
                super().process_message(message)

    return PacedDriver
