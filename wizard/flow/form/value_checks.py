"""What a text or a number of a file must be, whoever asks: a check returns the value or raises ValueError."""

from __future__ import annotations

from wizard.measure.quantities.units import find


def one_line(value: str) -> str:
    """Return a text of one line; ValueError if it is empty or holds what a screen can't show."""
    if not value.strip():
        raise ValueError("this text is empty. Write it, or leave the key out")
    if not value.isprintable():
        raise ValueError("this text holds a line break or a control character. Write it as one line")
    return value


def some_lines(value: str) -> str:
    """Return a text of some lines, each printable."""
    for line in value.strip().split("\n"):
        if line and not line.isprintable():
            raise ValueError("this text holds a control character (a tab, say). Use spaces")
    if not value.strip():
        raise ValueError("this text is empty. Write it, or leave the key out")
    return value


def a_unit(value: str) -> str:
    """Return the name of a known unit."""
    try:
        find(value)
    except ValueError as error:
        raise ValueError(str(error).removeprefix("unit: ")) from None
    return value
