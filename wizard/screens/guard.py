"""A short deafness after each new question, so that a key meant for the last one can't answer it."""

from __future__ import annotations

from collections.abc import Callable

DEAF = 0.25
"""Seconds."""


class Guard:
    """Armed when a question is shown; ``early`` is True for the next quarter of a second."""

    def __init__(self, mono: Callable[[], float]) -> None:
        self._mono = mono
        self._since = float("-inf")

    def arm(self) -> None:
        """A new question is on screen."""
        self._since = self._mono()

    def early(self) -> bool:
        """True when an answer or Enter comes too soon to be meant for this question."""
        return self._mono() - self._since < DEAF
