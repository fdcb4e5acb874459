"""Breaking text into lines, between words only, as the check of a flow counts them."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

LEAST = 12
"""Columns below which wrapping makes no sense."""


def wrapped(text: str, width: int) -> list[str]:
    """The lines of a text for a width; a word with a hyphen stays whole. No text gives no line."""
    return textwrap.wrap(text, max(LEAST, width), break_on_hyphens=False)


def hanging(lead: str, text: str, width: int) -> list[str]:
    """The lines of a text behind a lead, running on under the text."""
    lines = wrapped(text, width - len(lead)) or [""]
    return [f"{lead if n == 0 else ' ' * len(lead)}{line}" for n, line in enumerate(lines)]


def whole_blocks(blocks: Sequence[Sequence[str]], room: int) -> tuple[list[str], int]:
    """The lines of the first blocks that fit whole into ``room`` lines, and how many blocks are left."""
    lines: list[str] = []
    for number, block in enumerate(blocks):
        if len(lines) + len(block) > room:
            return lines, len(blocks) - number
        lines += block
    return lines, 0


def counted(blocks: Sequence[Sequence[str]], room: int) -> list[str]:
    """Blocks in ``room`` lines, each whole; of those that have no room the last line says how many they are."""
    lines, left = whole_blocks(blocks, room)
    if not left:
        return lines
    lines, left = whole_blocks(blocks, room - 1)
    return [*lines, f"and {left} weaker ones"]
