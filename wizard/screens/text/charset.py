"""Whether the terminal can show more than ASCII, asked once a program."""

from __future__ import annotations

from wizard.screens.text.terminal_encoding import encodable, terminal_encoding

_SIGNS = {
    "▲": "!",
    "■": "#",
    "○": "o",
    "●": "*",
    "▐": "|",
    "─": "-",
    "·": "-",
    "▸": ">",
    "✓": "+",
    "✗": "x",
    "▼": "v",
    "▬": "=",
    "│": "|",
}


def plain() -> bool:
    """True when lines and signs must be ASCII."""
    return not encodable("".join(_SIGNS), terminal_encoding())


def sign(mark: str) -> str:
    """A sign of ours, in ASCII where the terminal knows no other."""
    return _SIGNS[mark] if plain() else mark
