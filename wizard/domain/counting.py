"""Counts as English says them."""

from __future__ import annotations


def plural(count: int, word: str) -> str:
    """'1 problem', '2 problems', '0 problems': for words whose plural has an s."""
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
