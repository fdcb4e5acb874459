"""A number as it was typed: read in its unit, and held against the range that its step believes.

Outside the range a number is asked about. Confirmed, it is kept and judged, but never 'pass' (``judging``): the
limit's bands were written for the range. What safety rests on (``strict``) never takes it, whoever is sure:
there a slip could kill.
"""

from __future__ import annotations

import re

from wizard.domain.vocabulary import RefusalReason
from wizard.errors import Refused
from wizard.flow.model import Reading, Signs
from wizard.measure.quantities import units, written_units
from wizard.measure.quantities.units import TypedQuantity


def within(reading: Reading, value: float) -> bool:
    """True for a value, SI, that the step believes."""
    return reading.low <= value <= reading.high


def parsed(
    reading: Reading,
    typed: str,
    unit: str,
    sure: bool = False,
    strict: bool = False,
    signs: Signs | None = None,
) -> float:
    """What was typed, SI. Refused: 'reading' with what is wrong, or 'range' if it is outside and nobody is
    ``sure``.

    ``signs``: what + and - mean here. A number without either could be both, so it is not taken unless it is ``sure``.
    """
    try:
        entry = units.read(typed, unit or reading.unit)
    except ValueError as problem:
        words = with_letters(reading, typed) or str(problem).removeprefix("text: ")
        raise Refused(RefusalReason.READING, words) from problem
    if short := too_short(reading, entry.value):
        raise Refused(RefusalReason.READING, short)
    if signs and entry.value and not sure and not typed.strip().startswith(SIGNS):
        raise Refused(RefusalReason.READING, unsigned(typed.strip(), signs))
    if within(reading, entry.value) or (sure and not strict):
        return entry.value
    if strict:
        hint = ": type its size without the sign" if within(reading, -entry.value) else ""
        words = f"{outside(reading, typed, entry)}. For what safety rests on that is never right{hint}"
        raise Refused(
            RefusalReason.READING, f"{words}, or measure again." if hint else f"{words}. Measure again."
        )
    raise Refused(
        RefusalReason.RANGE, f"{outside(reading, typed, entry)}. Type it again, or say that it is right."
    )


SIGNS = ("+", "-", "\N{MINUS SIGN}")


def unsigned(typed: str, signs: Signs) -> str:
    """What to say of a number without its sign."""
    return f"{typed} has no sign. Type +{typed} for {signs.plus}, -{typed} for {signs.minus}."


def too_short(reading: Reading, value: float) -> str:
    """What to say of a year of two digits; empty where all figures are there, or no such number is asked.

    Such a number is no reading that could be right: a printed one whose range has four figures at both ends.
    """
    return f"Write all four digits{_example(reading)}." if _four_digits(reading) and 0 <= value < 1000 else ""


def with_letters(reading: Reading, typed: str) -> str:
    """What to say of a printed number copied with what stands behind it, such as 6205-2RS; empty for another slip."""
    if not _four_digits(reading) or not re.match(r"\s*\d{4}[\s/-]*\d?[A-Za-z]", typed):
        return ""
    return f"Type the four digits alone{_example(reading)}: leave out what stands behind them."


def _four_digits(reading: Reading) -> bool:
    """True for a printed number of four digits: its range has four at both ends."""
    ends = {len(f"{edge:.0f}") for edge in (reading.low, reading.high)}
    return units.find(reading.unit).symbol == "count" and ends == {4}


def _example(reading: Reading) -> str:
    return f", such as {reading.usual:.0f}" if reading.usual else ""


def outside(reading: Reading, typed: str, entry: TypedQuantity) -> str:
    """'2 in is outside 0 in to 1.181 in': in the unit that was meant by whoever typed it."""
    return (
        f"{written_units.typed_text(typed.strip(), entry.unit)} is outside {range_words(reading, entry.unit)}"
    )


def range_words(reading: Reading, unit: str) -> str:
    """'0 mm to 30 mm'; in another unit than the step's own to four figures, since it was set in that one."""
    return " to ".join(_edge(edge, reading.unit, unit) for edge in (reading.low, reading.high))


def _edge(value: float, own: str, unit: str) -> str:
    if units.find(own).symbol == units.find(unit).symbol:
        return units.text(value, unit)
    return units.text(units.to_si(float(f"{units.from_si(value, unit):.4g}"), unit), unit)
