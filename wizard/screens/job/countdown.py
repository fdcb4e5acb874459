"""A wait that is counted down on the screen, second by second."""

from __future__ import annotations

from collections.abc import Callable


class Countdown:
    """``left`` gives the seconds that are left, ``draw`` draws them; nothing is drawn while not ``seen``."""

    def __init__(self, left: Callable[[], float], draw: Callable[[], None], seen: Callable[[], bool]) -> None:
        self._left, self._draw, self._seen = left, draw, seen
        self._waiting = False

    def drawn(self) -> None:
        """The screen was drawn anew: what is left of a wait, maybe less than a second, stands on it from now on."""
        self._waiting = self._left() > 0

    def tick(self) -> None:
        """Draw the time that is left of a wait; once more when it has run."""
        left = self._left()
        if (left or self._waiting) and self._seen():
            self._waiting = left > 0
            self._draw()
