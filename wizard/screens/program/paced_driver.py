"""Keys at the pace of hands: what comes far faster, a long text sent as keys, is dropped where it comes in.

Each key that goes on costs some kB until it is dealt with; 358 kB of them took a gigabyte and a minute.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from textual import events
from textual.message import Message

if TYPE_CHECKING:
    from textual.driver import Driver

BURST = 600
"""Keys that may come at once: two fields' length."""

PACE = 100.0
"""Keys a second in the long run; the fastest hands do twenty."""


QUIET = 0.5
"""Seconds without a key after which keys pass again: what was left out then has one place, at the end."""

DROPPED = (
    "Keys came faster than hands press them, as of a text that was pasted: all after the first {most} was left out. "
    "See what the field holds."
)


class KeysDropped(Message):
    """The first of a row of keys was left out."""


class Pace:
    """Lets keys pass: BURST of them at once, then PACE a second; once one is too many, none until it was quiet for
    QUIET. The time is handed in, in seconds.
    """

    def __init__(self) -> None:
        self._left, self._at = float(BURST), float("-inf")
        self.dropping = False

    def lets(self, now: float) -> bool:
        """Whether a key that comes now goes on."""
        gap, self._at = now - self._at, now
        self._left = min(float(BURST), self._left + PACE * gap)
        self.dropping = (self.dropping and gap < QUIET) or self._left < 1.0
        if self.dropping:
            return False
        self._left -= 1.0
        return True


def paced(kind: type[Driver]) -> type[Driver]:
    """The driver of this platform, with a pace."""

    class PacedDriver(kind):  # type: ignore[misc, valid-type]
        """What it reads it hands on, but for keys that are too many; that the first of those was left out is told."""

        pace = Pace()

        def process_message(self, message: Message) -> None:
            """Hand on a message; called where the terminal is read."""
            before = self.pace.dropping
            if not isinstance(message, events.Key) or self.pace.lets(time.monotonic()):
                super().process_message(message)
            elif not before:
                super().process_message(KeysDropped())

    return PacedDriver
