"""Breaking text into lines, between words only, as the check of a flow counts them."""

from __future__ import annotations

import textwrap

LEAST = 12
"""Columns below which wrapping makes no sense."""


def wrapped(text: str, width: int) -> list[str]:
    """The lines of a text for a width; a word with a hyphen stays whole. No text gives no line."""
    return textwrap.wrap(text, max(LEAST, width), break_on_hyphens=False)
