"""Deliberate keys: what is pressed too soon after a question or another key is dropped, and so is a key that is held.

A keyboard repeats a held key some thirty times a second, after a first pause of a quarter to three quarters of a
second. So quiet is counted from the last key as well as from the question, and each key that comes too soon begins it
anew: a held key is never taken twice. What was dropped as the question changed may have been meant for either: nothing
is taken then before a second of quiet. The next number of the same reading is no new question.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable

DEAF = 0.25
"""Seconds of quiet, after a question or a key, before a key that answers or leads elsewhere."""

HELD = 0.75
"""Seconds before the same key counts as pressed again: longer than most keyboards wait before they repeat one."""

WHOLE = 1.0
"""Seconds before a text is begun anew once a key of it was dropped, so that no half of a number is taken; and before
any key once one was dropped as the question changed.
"""

TOO_QUICK = "Too quick:"
"""What the words on a dropped key begin with."""

LONGEST = 20
"""Characters that are told of what was dropped."""

ENTER = "enter"


class Guard:
    """What may be too early is shown to it, key by key, with the moment that ``mono`` gives (seconds)."""

    def __init__(self, mono: Callable[[], float]) -> None:
        self._mono = mono
        self._shown = self._pressed = float("-inf")
        self._key = ""
        self._begun = self._dropped = self._new = self._handing = False
        self._lost = ""
        self._asked: Hashable = None
        self._readable = float("-inf")

    def arm(self) -> None:
        """A new question is on screen."""
        self._shown = self._mono()
        self._begun, self._new, self._handing = False, True, False

    def go_on(self) -> None:
        """A text was taken, and the same field asks for the next one: no new question, if no key was lost meanwhile."""
        self._begun = self._begun or (self._handing and not self._lost)
        self._handing = False

    def early(
        self, key: str, text: bool = False, typing: bool = False, more: bool = False, character: str = ""
    ) -> bool:
        """True where this key comes too soon and must be dropped; either way the quiet begins anew with it.

        ``typing``: a field has the keys. ``text``: the key is a character for that field. ``more``: behind this text
        the same field asks for another one. ``character``: what the key types.
        """
        now = self._mono()
        early = now - max(self._shown, self._pressed) < self._quiet(key, text, typing)
        self._pressed, self._key, self._dropped = now, key, early
        if early:
            self._lost += character or (key if len(key) == 1 else "\r")
        else:
            self._lost, self._new = "", False
            self._begun, self._handing = text, more and self._begun
        return early

    def _quiet(self, key: str, text: bool, typing: bool) -> float:
        """Seconds of quiet that the key needs before it."""
        if text and self._begun:
            return 0.0
        if self._lost and (text or self._new):
            return WHOLE
        if key == self._key:
            return HELD
        return 0.0 if typing and self._begun else DEAF

    @property
    def notice(self) -> str:
        """What is said as long as the last key is one that was dropped; otherwise empty."""
        if not self._dropped:
            return ""
        lost = self._lost.strip("\r")
        if len(lost) > LONGEST or "\r" in lost or (len(lost) > 2 and len(set(lost)) == 1) or not lost:
            return f"{TOO_QUICK} that was not taken. Let go, and wait a second."
        again = "type it" if len(lost) > 1 else "press it"
        return f"{TOO_QUICK} '{lost}' was not taken. Wait a second, then {again} again."

    def ask(self, asked: Hashable, seconds: float) -> None:
        """A step is on screen that takes so long to read. The same one keeps the moment when it was first shown."""
        if asked != self._asked:
            self._asked, self._readable = asked, self._mono() + seconds

    @property
    def unread(self) -> int:
        """Whole seconds, rounded up, until an answer to the step on screen is taken; 0 when it is."""
        return math.ceil(max(0.0, self._readable - self._mono()))
