"""Texts cut to a width."""

from __future__ import annotations

from wizard.screens.text.charset import plain


def cut(text: str, width: int) -> str:
    """The text on one line of at most ``width``, with a sign at its end where something is missing."""
    flat = " ".join(text.split())
    if len(flat) <= width:
        return flat
    return f"{flat[: max(0, width - 1)].rstrip(' ,;:')}{'.' if plain() else '…'}"


def shortened(text: str, width: int) -> str:
    """The text on one line of at most ``width``, whole words of it and a sign where some are missing."""
    flat = " ".join(text.split())
    if len(flat) <= width:
        return flat
    kept = flat[: max(0, width - 1)].rpartition(" ")[0].rstrip(" ,;:(·-")
    return f"{kept}{'.' if plain() else '…'}" if kept else cut(flat, width)
