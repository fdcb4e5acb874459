"""Numbers as people write them: '12', '3,4', '3/8', '1 1/2', '1-1/2', '½'. Exact, as fractions."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

_VULGAR = re.compile("[¼-¾⅐-⅞]")
_SIGNS = str.maketrans({"−": "-", "–": "-", "⁄": "/", "\u00a0": " ", "\u202f": " ", "µ": "μ"})  # noqa: RUF001
_DECIMAL = r"(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?"
_TERM = re.compile(
    rf"\s*(?:(?P<whole>\d+)(?:\s+|-))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)(?![\d.,])|\s*(?P<decimal>{_DECIMAL})"
)
_TWO_MARKS = re.compile(r"\d*[.,]\d*[.,]")


_MOST_DIGITS, _SHOWN = 1000, 24
"""How many figures a number may have, more than anyone reads off a tool; how much of what was typed is quoted."""


def brief(text: str) -> str:
    """Return ``text`` as it is quoted back: its beginning alone where it is long."""
    return text if len(text) <= 2 * _SHOWN else f"{text[:_SHOWN]}..."


def tidy(text: str) -> str:
    """Return ``text`` with typographic signs, spaces and one-character fractions made plain."""
    spaced = _VULGAR.sub(lambda match: f" {match.group()}", text)
    return unicodedata.normalize("NFKC", spaced).translate(_SIGNS).strip()


def take(text: str) -> tuple[Fraction, str]:
    """Return the unsigned number at the start of ``text`` and what follows it.

    A comma is a decimal mark. ValueError, in words for the person who typed, if there is no number, if it
    has two decimal marks, or if it divides by zero.
    """
    if _TWO_MARKS.match(text.lstrip()):
        raise ValueError("two decimal marks: a comma is one too, so leave out marks between thousands")
    match = _TERM.match(text)
    if match is None:
        raise ValueError("no number to begin with: write one such as 12, 3.4 or 1 1/2")
    if match.end() > _MOST_DIGITS:
        raise ValueError("this number has too many digits: write it shorter")
    rest = text[match.end() :]
    if rest.lstrip()[:1].isdigit() or rest.lstrip()[:1] == "/":
        raise ValueError("two numbers in a row: write one such as 12, 3.4 or 1 1/2")
    return _value(match), rest


def _value(match: re.Match[str]) -> Fraction:
    """Return the exact value of a matched number."""
    decimal = match["decimal"]
    if decimal is not None:
        return Fraction(decimal.replace(",", "."))
    if int(match["bottom"]) == 0:
        raise ValueError("a fraction can't divide by zero")
    return int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
