"""Texts of a flow fitted to columns, in box-drawing characters or in ASCII."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from unicodedata import normalize

from wizard.flow.text_width import columns

SIGNS: Mapping[str, str] = {
    "│": "|", "├": "+", "└": "`", "─": "-", "┬": "+", "╰": "`", "▶": ">", "→": ">", "↓": "v", "↺": "@", "■": "#",
    "●": "*", "·": ".", "✓": "+", "✗": "x", "…": "~", "\u2013": "-", "°": "deg", "µ": "u", "Ω": "ohm",
    "\u2019": "'", "“": '"', "”": '"',
}  # fmt: skip
"""Each sign that is drawn, and some that texts have, with what stands for it in ASCII."""


def to_plain(text: str) -> str:
    """The text in ASCII: signs by their table, letters without their accents, '?' for all else."""
    swapped = "".join(SIGNS.get(c, c) for c in text)
    bare = "".join(c for c in normalize("NFKD", swapped) if not "\u0300" <= c <= "\u036f")
    return bare.encode("ascii", "replace").decode("ascii")


def plain_lines(lines: Iterable[str], width: int) -> list[str]:
    """The lines in ASCII; one that this makes longer than ``width`` is cut."""
    return [to_plain(line)[:width] for line in lines]


def clip(text: str, width: int) -> str:
    """The text in at most ``width`` columns; where it is cut, the last column is '…'. Empty where there is no
    room.
    """
    if columns(text) <= width:
        return text
    kept, used = "", 0
    for c in text:
        used += columns(c)
        if used > width - 1:
            break
        kept += c
    return f"{kept.rstrip()}…" if width > 0 else ""


def pad(text: str, width: int) -> str:
    """The text clipped and filled with blanks to exactly ``width`` columns."""
    cut = clip(text, width)
    return cut + " " * (width - columns(cut))


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """The words of a text in lines of at most ``width`` columns, the first led in by ``first``, the others by
    ``rest``.

    A word that no line can hold is cut.
    """
    lines, line, bare = [], first, True
    for word in text.split():
        joined = line + ("" if bare else " ") + word
        if columns(joined) > width and not bare:
            lines.append(line)
            joined = rest + word
        line, bare = clip(joined, width), False
    return [*lines, line]
