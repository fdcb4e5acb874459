"""Heights of successive swings as people write them in one line: '14 9 6', '1 1/2 in 3/4 in', '14; 9,5; 6 mm'."""

from __future__ import annotations

import re
from collections.abc import Sequence

from wizard.measure.quantities import numerals, units

_FIRST_TO_LAST = "write two or more, first to last, with spaces between"
_APART = re.compile(r";|,(?=\s|$)")
_ONE = re.compile(
    r"""\s*(?P<number>[+-]?(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|(?:\d|[.,](?=\d))[\d.,]*))\s*(?P<unit>[^\W\d_]+|["'°])?"""
)


def heights(text: str, unit: str) -> tuple[float, ...]:
    """The heights, SI. ValueError naming ``heights`` that says what is wrong, in the words of whoever typed it.

    Between two stand spaces, a semicolon, or a comma and a space; '1 1/2' is one number, as in every field. A unit
    may stand after each, or once for all before it; without any it is ``unit``. A comma inside a number is its
    decimal mark.
    """
    tidy = numerals.tidy(text)
    chunks = [c.strip() for c in _APART.split(tidy) if c.strip()] if _APART.search(tidy) else [tidy]
    parts = _parts(_without_commas(chunks[0])) if len(chunks) == 1 else [_split(chunk) for chunk in chunks]
    if len(parts) < 2:
        raise ValueError(f"heights: {_FIRST_TO_LAST}")
    return tuple(_height(*one, unit) for one in zip(_numbers(parts), _units(parts, unit), strict=True))


def _without_commas(text: str) -> str:
    """'12,8,5' with spaces for its commas, since no number has two; what might be one or two numbers is an error."""
    parts = text.split(",")
    if any(c.isspace() for c in text) or len(parts) == 1:
        return text
    if len(parts) % 2 or any("." in part for part in parts):
        return " ".join(parts)
    both = (
        "a number with a decimal comma, or two"
        if len(parts) == 2
        else "decimal commas, or all of them heights"
    )
    raise ValueError(f'heights: "{text}" may be {both}: write spaces between the heights')


def _parts(text: str) -> list[tuple[str, str]]:
    """Numbers with the units behind them, empty where there is none; ValueError at what is neither."""
    found: list[tuple[str, str]] = []
    at = 0
    while at < len(text.rstrip()):
        match = _ONE.match(text, at)
        if match is None:
            word = text[at:].split()[0]
            if not found and units_known(word):
                return []
            raise ValueError(f'heights: "{word}" is no height: {_FIRST_TO_LAST}')
        found.append((match["number"], match["unit"] or ""))
        at = match.end()
    return found


def units_known(word: str) -> bool:
    """True for the name of a unit."""
    try:
        units.find(word)
    except ValueError:
        return False
    return True


def _split(chunk: str) -> tuple[str, str]:
    """One number with its unit; both are read later, together."""
    parts = _parts(chunk)
    if len(parts) != 1:
        raise ValueError(f'heights: "{chunk}" between two separators is not one number')
    return parts[0]


def _numbers(parts: Sequence[tuple[str, str]]) -> list[str]:
    return [number for number, _unit in parts]


def _units(parts: Sequence[tuple[str, str]], unit: str) -> list[str]:
    """The unit of each: its own, else the next one given, else the last one given, else ``unit``."""
    named = [name for _number, name in parts]
    for n in reversed(range(len(named) - 1)):
        named[n] = named[n] or named[n + 1]
    for n in range(1, len(named)):
        named[n] = named[n] or named[n - 1]
    return [name or unit for name in named]


def _height(number: str, name: str, unit: str) -> float:
    try:
        value = units.parse(f"{number} {name}", unit)
    except ValueError as problem:
        raise ValueError(f"heights: {str(problem).removeprefix('text: ')}") from problem
    if value <= 0:
        raise ValueError(
            f'heights: "{number}" is not above zero: each is measured from rest, to the same side'
        )
    return value


def as_read(found: Sequence[float], unit: str) -> str:
    """'14, 9.5, 6 mm': what was understood."""
    symbol = units.find(unit).symbol
    return f"{', '.join(units.brief(h, unit).removesuffix(f' {symbol}') for h in found)} {symbol}"
