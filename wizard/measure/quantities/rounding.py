"""Honest rounding: as many figures as the uncertainty carries, and no more (GUM, 7.2.6)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal

from wizard.measure.argument_checks import finite, not_negative, whole

_PLAIN_FIGURES = 6
_WIDE = Context(prec=200)  # the widest span of value and uncertainty there is, in figures


@dataclass(frozen=True, slots=True)
class Rounded:
    """A value and its standard uncertainty as texts with the same last place; uncertainty '' if there is
    none.
    """

    value: str
    uncertainty: str


def honest(value: float, uncertainty: float, figures: int = _PLAIN_FIGURES) -> Rounded:
    """Return ``value`` rounded to the place of one significant digit of ``uncertainty``, or two if it
    begins with 1 or 2.

    Both in the same unit. With uncertainty 0 the value keeps up to ``figures``. ValueError on NaN or a
    negative uncertainty. Source: GUM (JCGM 100:2008), 7.2.6: at most two digits, the estimate to match.
    """
    number = Decimal(repr(finite("value", value)))
    spread = Decimal(repr(not_negative("uncertainty", uncertainty)))
    figures = whole("figures", figures, 1, 17)
    if spread == 0:
        return Rounded(_plain(number, figures), "")
    place = _place(spread)
    return Rounded(_at(number, place), _at(spread, place))


def _place(spread: Decimal) -> int:
    """Return the power of ten of the last figure to keep."""
    top = spread.adjusted()
    leading = spread.quantize(Decimal(1).scaleb(top - 1), ROUND_HALF_EVEN, _WIDE)
    return top - 1 if leading < Decimal(3).scaleb(top) else top


def _at(number: Decimal, place: int) -> str:
    """Return ``number`` rounded at the power of ten ``place``, without an exponent and without '-0'."""
    near = number.quantize(Decimal(1).scaleb(place), ROUND_HALF_EVEN, _WIDE)
    return f"{abs(near) if near == 0 else near:f}"


def _plain(number: Decimal, figures: int) -> str:
    """Return ``number`` with up to so many figures and no trailing zeros."""
    if number == 0:
        return "0"
    near = number.quantize(Decimal(1).scaleb(number.adjusted() - figures + 1), ROUND_HALF_EVEN, _WIDE)
    text = f"{near:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
