"""Deliberate keys: what is pressed too soon after a question or another key is dropped, and so is a key that is held.

A keyboard repeats a held key some thirty times a second, after a first pause of a quarter to three quarters of a
second. So quiet is counted from the last key as well as from the question, and each key that comes too soon begins it
anew: a held key is never taken twice.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable

DEAF = 0.25
"""Seconds of quiet, after a question or a key, before a key that answers or leads elsewhere."""

HELD = 0.75
"""Seconds before the same key counts as pressed again: longer than most keyboards wait before they repeat one."""

WHOLE = 1.0
"""Seconds before a text is begun anew once a key of it was dropped, so that no half of a number is taken."""

TOO_QUICK = "Too quick: that key was not taken."

ENTER = "enter"


class Guard:
    """What may be too early is shown to it, key by key, with the moment that ``mono`` gives (seconds)."""

    def __init__(self, mono: Callable[[], float]) -> None:
        self._mono = mono
        self._shown = self._pressed = float("-inf")
        self._key = ""
        self._begun = self._broken = self._dropped = False
        self._asked: Hashable = None
        self._readable = float("-inf")

    def arm(self) -> None:
        """A new question is on screen."""
        self._shown = self._mono()
        self._begun = self._broken = False

    def early(self, key: str, text: bool = False, typing: bool = False) -> bool:
        """True where this key comes too soon and must be dropped; either way the quiet begins anew with it.

        ``typing``: a field has the keys. ``text``: the key is a character for that field.
        """
        now = self._mono()
        early = now - max(self._shown, self._pressed) < self._quiet(key, text, typing)
        self._pressed, self._key, self._dropped = now, key, early
        if text:
            self._broken = early
            self._begun = self._begun or not early
        elif not early:
            self._begun = self._broken = False
        return early

    def _quiet(self, key: str, text: bool, typing: bool) -> float:
        """Seconds of quiet that the key needs before it."""
        if text and self._begun:
            return 0.0
        if text and self._broken:
            return WHOLE
        if key == self._key:
            return HELD
        return 0.0 if typing and self._begun else DEAF

    @property
    def notice(self) -> str:
        """What is said as long as the last key is one that was dropped; empty else."""
        return TOO_QUICK if self._dropped else ""

    def ask(self, asked: Hashable, seconds: float) -> None:
        """A step is on screen that takes so long to read. The same one keeps the moment when it was first shown."""
        if asked != self._asked:
            self._asked, self._readable = asked, self._mono() + seconds

    @property
    def unread(self) -> int:
        """Whole seconds, rounded up, until an answer to the step on screen is taken; 0 when it is."""
        return math.ceil(max(0.0, self._readable - self._mono()))
