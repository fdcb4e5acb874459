"""How many columns a text takes on a terminal."""

from __future__ import annotations

from unicodedata import combining, east_asian_width


def columns(text: str) -> int:
    """Return the columns a text takes: two for a wide character, none for a combining one (Unicode annex 11)."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)
