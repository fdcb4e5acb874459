"""A line that is a number of a list, and how a line that is none is said again."""

from __future__ import annotations

ECHOED = 40
"""Characters of a line that is no answer which are said again."""

_DIGITS = 3
"""Of the longest number of a list; more are no number of any, and thousands would be no number at all."""


def number_in(text: str, most: int, least: int = 1) -> int:
    """The number that a line is, from ``least`` to ``most``; ``least`` - 1 where it is no such number."""
    digits = text.isascii() and text.isdigit() and len(text) <= _DIGITS
    return int(text) if digits and least <= int(text) <= most else least - 1


def is_number(text: str) -> bool:
    """Whether a line is digits alone."""
    return text.isascii() and text.isdigit()


def echoed(text: str) -> str:
    """A line that is no answer, as it is said again: its beginning, where it is long."""
    return f"{text[:ECHOED]}..." if len(text) > ECHOED else text or "empty answer"


def span(most: int) -> str:
    """'1' or '1 to 4'."""
    return "1" if most == 1 else f"1 to {most}"
