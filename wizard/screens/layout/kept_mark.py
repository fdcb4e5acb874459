"""Where the mark of the job map stands, kept while another screen is shown."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass


@dataclass(slots=True)
class KeptMark:
    """The row that the mark was moved to, or that was opened or left out. ``place``: which, None for the one that is
    advised; ``stood``: how it stood when the mark came to it, None where it was acted on since. ``visit``: on which
    visit, counted from 1.
    """

    place: Hashable = None
    stood: Hashable = None
    visit: int = 0

    def begin(self, visit: int) -> None:
        """It is this visit: on another one than before the mark is on what is advised again."""
        if visit != self.visit:
            self.place, self.stood, self.visit = None, None, visit

    def move(self, place: Hashable, stood: Hashable) -> None:
        """The mark was moved to a row that stands so."""
        self.place, self.stood = place, stood

    def act(self, place: Hashable) -> None:
        """The marked row was acted on: the mark stays there unless that closes it."""
        self.place, self.stood = place, None

    def settle(self, stands: Hashable, closed: bool) -> None:
        """The job moved on, and the row stands so: once it is closed by that, the mark goes to what is advised."""
        if closed and stands != self.stood:
            self.place = self.stood = None
