"""Values that this program never writes: a journal may hold them all the same, and looking at it must not break."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from wizard.errors import UNSOUND, SteadfootError, unsound_words

T = TypeVar("T")


def attempt(make: Callable[[], T], otherwise: T) -> tuple[T, str]:
    """What ``make`` gives; else ``otherwise`` and, in words, that this can't be followed and why."""
    try:
        return make(), ""
    except SteadfootError as trouble:
        return otherwise, str(trouble)
    except UNSOUND as trouble:
        words = unsound_words(trouble).rstrip(".")
        return otherwise, f"This holds what the program never writes, and can't be followed{words}."
