"""Units: read what people type, turn it into SI and back, and write it in metric or US units.

A closed table of our own (``unit_table``), since a general library takes about a second to start.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from fractions import Fraction
from functools import lru_cache

from wizard.measure.argument_checks import finite, not_negative, one_of
from wizard.measure.quantities import numerals, rounding
from wizard.measure.quantities.unit_table import IN_WORDS, MEANT, METRIC_OF, UNITS, US_OF, Unit
from wizard.measure.quantities.written_units import unwritten


@unique
class UnitSystem(StrEnum):
    """In which units a number is shown."""

    METRIC = "metric"
    US = "us"


_MOST = Fraction(10) ** 30
"""The most that is taken as typed, SI: so much less than what can be computed with, that sums of it still can."""

_BY_NAME: dict[str, Unit] = {name: unit for unit in UNITS for name in (unit.symbol, *unit.names)}
# Capitals matter where a wrong one means a factor of a million or more.
_CAPITALS_MATTER = {"mV", "mA", "mohm", "Mohm", "MPa", "ms"}
_BY_FOLD: dict[str, Unit] = {
    name.casefold(): unit
    for name, unit in reversed(_BY_NAME.items())
    if unit.symbol not in _CAPITALS_MATTER or len(name) > 5
}


@dataclass(frozen=True, slots=True)
class TypedQuantity:
    """What was typed, understood: ``value`` in SI, ``unit`` as meant, ``note`` to show (empty if plain)."""

    value: float
    unit: str
    note: str = ""


def find(unit: str) -> Unit:
    """Return the unit called ``unit`` (its symbol or another name); ValueError if there is none."""
    known = _lookup(str(unit))
    if known is None:
        raise ValueError(
            f'unit: "{numerals.brief(str(unit))}" is not a unit known here.{_nearest(str(unit))}'
        )
    return known


def dimension(unit: str) -> str:
    """Return what ``unit`` measures: 'length', 'force', ... ValueError if the unit is unknown."""
    return find(unit).dimension


def of_dimension(name: str) -> tuple[str, ...]:
    """Return the symbols of all units of dimension ``name``; ValueError if there is no such dimension."""
    symbols = tuple(unit.symbol for unit in UNITS if unit.dimension == str(name))
    if not symbols:
        raise ValueError(f'name: "{name}" is not a dimension known here')
    return symbols


def to_si(value: float, unit: str) -> float:
    """Return ``value`` in ``unit`` as SI (deg as rad, rpm as Hz, degC as K). ValueError on NaN or unknown
    unit.

    Computed on the decimal figures of ``value``, so that 10 mm and 1 cm are the same float.
    """
    return _in_si(finite("value", value), find(unit).symbol)


@lru_cache(maxsize=4096)
def _in_si(value: float, symbol: str) -> float:
    """``to_si``, remembered: the cases of a flow say the same few numbers again and again."""
    known = find(symbol)
    return float((_exact("value", value) + known.offset) * known.factor)


def from_si(value: float, unit: str) -> float:
    """Return the SI ``value`` in ``unit``. ValueError on NaN or unknown unit."""
    known = find(unit)
    return float(_exact("value", value) / known.factor - known.offset)


def span_to_si(span: float, unit: str) -> float:
    """Return a difference or an uncertainty ``span`` in ``unit`` as SI: no offset, so 1 degC is 1 K."""
    return float(_exact("span", span) * find(unit).factor)


def span_from_si(span: float, unit: str) -> float:
    """Return an SI difference or uncertainty ``span`` in ``unit``, without offset."""
    return float(_exact("span", span) / find(unit).factor)


def parse(text: str, unit: str) -> float:
    """Return what a person typed as SI; ``unit`` counts where the text has none.

    '3/8 in', '1 1/2', '3,4', '12 mm', '5 ft 3 in'. A comma is a decimal mark; two marks are an error.
    Where a force is asked, kg and lb mean kgf and lbf (``read`` says so). ValueError naming ``text`` or
    ``unit``, in plain words.
    """
    return read(text, unit).value


def read(text: str, unit: str) -> TypedQuantity:
    """Return what a person typed as an ``TypedQuantity``: see ``parse``. ValueError naming ``text`` or ``unit``."""
    asked = find(unit)
    try:
        return _read(numerals.tidy(str(text)), asked)
    except ValueError as error:
        raise ValueError(f'text: "{numerals.brief(str(text))}": {error}') from None


def _read(text: str, asked: Unit) -> TypedQuantity:
    """Read a sign and one or more terms, each a number and a unit, largest unit first."""
    sign = -1 if text.startswith("-") else 1
    rest = text[1:] if text.startswith(("+", "-")) else text
    if not rest:
        raise ValueError("nothing typed: write a number")
    total, used, note = Fraction(0), None, ""
    while rest.strip():
        number, rest = numerals.take(rest)
        name, rest = _take_name(rest)
        unit, words = _meant(name, used or asked, asked)
        if used is not None and unit.factor >= used.factor:
            raise ValueError("write the larger unit first, or one number only")
        # A leading minus is for the number as typed: -5 degC is 5 below zero, not -(5 degC in K).
        total += (sign * number + (unit.offset if used is None else 0)) * unit.factor
        used, note = unit, note or words
    if abs(total) > _MOST:
        raise ValueError("this number is too large")
    return TypedQuantity(float(total), (used or asked).symbol, note)


def _take_name(text: str) -> tuple[str, str]:
    """Split ``text`` into the unit's name at its start and the rest, from the next number on."""
    name = text.strip()
    if _lookup(name) is not None or not name:
        return name, ""
    for at in range(1, len(name)):
        if name[at].isdigit() and _lookup(name[:at].strip()) is not None:
            return name[:at].strip(), name[at:]
    return name, ""


def _meant(name: str, default: Unit, asked: Unit) -> tuple[Unit, str]:
    """Return the unit meant by ``name`` where ``asked`` is asked, and a note if it isn't what was written."""
    if not name:
        return default, ""
    unit = _lookup(name)
    habits = MEANT.get(asked.dimension, {})
    meant = habits.get(unit.symbol if unit else name) or habits.get(name)
    if meant is not None:
        return _BY_NAME[meant], f"{name} read as {IN_WORDS.get(meant, meant)}"
    allowed = ", ".join(of_dimension(asked.dimension))
    if unit is None:
        raise ValueError(
            f'"{numerals.brief(name)}" is not a unit known here.{_nearest(name, asked.dimension)} Write {allowed}'
        )
    if unit.dimension != asked.dimension:
        raise ValueError(f"{name} measures {unit.dimension}, but {asked.dimension} is asked. Write {allowed}")
    return unit, ""


def _lookup(name: str) -> Unit | None:
    """Return the unit of that name: as written, or whatever its capitals where they can't mislead."""
    return _BY_NAME.get(name) or _BY_FOLD.get(name.casefold())


def _nearest(name: str, wanted: str | None = None) -> str:
    """Return ' Did you mean "x"?' or nothing."""
    from difflib import get_close_matches  # Late: wanted only for what is misspelt.

    names = [n for n, unit in _BY_NAME.items() if wanted is None or unit.dimension == wanted]
    near = get_close_matches(name, names, 1, 0.5)
    return f' Did you mean "{near[0]}"?' if near else ""


def _exact(name: str, value: float) -> Fraction:
    """Return the decimal figures of ``value`` as a fraction."""
    return Fraction(repr(finite(name, value)))


def counterpart(unit: str, system: UnitSystem) -> str:
    """Return the unit to show in place of ``unit`` in ``system``; itself if it serves in both."""
    shown = UnitSystem(one_of("system", system, UnitSystem))
    symbol = find(unit).symbol
    return (US_OF if shown is UnitSystem.US else METRIC_OF).get(symbol, symbol)


def text(value: float, unit: str, uncertainty: float = 0.0) -> str:
    """Return the SI ``value`` written in ``unit``, honestly rounded: '12.3 ± 0.4 mm', or '12.3 mm' with none.

    ``uncertainty`` is standard, in SI. ValueError on NaN, a negative uncertainty or an unknown unit.
    """
    rounded = _rounded(value, unit, uncertainty, 6)
    words = f"{rounded.value} ± {rounded.uncertainty}" if rounded.uncertainty else rounded.value
    return _with_symbol(words, unit)


def brief(value: float, unit: str, uncertainty: float = 0.0) -> str:
    """Return the SI ``value`` of something computed or turned into ``unit``: '52.2 N', never '52.1866 N'.

    As many figures as ``uncertainty`` (standard, SI) carries, without it; three where it is 0. ValueError as
    ``text``.
    """
    return _with_symbol(_rounded(value, unit, uncertainty, 3).value, unit)


def _rounded(value: float, unit: str, uncertainty: float, figures: int) -> rounding.Rounded:
    """Return both in ``unit``, rounded; up to ``figures`` where there is no uncertainty."""
    spread = span_from_si(not_negative("uncertainty", uncertainty), unit)
    return rounding.honest(from_si(value, unit), spread, figures)


def _with_symbol(words: str, unit: str) -> str:
    """Return the figures with the unit behind them, where people write one."""
    symbol = find(unit).symbol
    return words if unwritten(symbol) else f"{words} {symbol}"
