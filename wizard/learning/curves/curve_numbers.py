"""The numbers of a limit's curve, by name: what healthy machines give, how far they differ, what a fault gives.

A limit may stand in a flow more than once, for machines of other facts: then ``VARIANT`` and the facts' values come
behind its id, as in 'damper-drag@3,4'. Numbers are those of the file, in the limit's own unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.model import Band, Flow, Limit
from wizard.measure.quantities.units import from_si, span_from_si, span_to_si, to_si

VARIANT, BETWEEN, OTHER_FACT, BELOW = "@", ",", "+", "."
USUAL, SCATTER = "usual", "scatter"
DIGITS = 12
"""Significant digits by which a number of a file comes back from SI as it was written."""


def variant_of(applies: Mapping[str, Sequence[str]]) -> str:
    """Return the values that a limit is for, as one word: '3,4', 'front-loader+2'; empty where it is for all."""
    return OTHER_FACT.join(BETWEEN.join(values) for values in applies.values())


def curve_name(limit: str, variant: str) -> str:
    """Return the name of a limit's curve: 'rod-drag', 'damper-drag@3,4'."""
    return f"{limit}{VARIANT}{variant}" if variant else limit


def name_of(limit: Limit) -> str:
    """Return the name of the curve of a limit of a flow."""
    return curve_name(limit.id, variant_of(limit.applies))


def typical_name(band: str, severity: str) -> str:
    """Return the name of what a fault gives: 'low.mild'."""
    return f"{band}{BELOW}{severity}"


def curved_limits(flow: Flow) -> dict[str, Limit]:
    """Return every limit of a flow that has a curve, by its curve's name."""
    every = (limit for some in flow.limits.values() for limit in some)
    return {name_of(limit): limit for limit in every if has_curve(limit)}


def has_curve(limit: Limit) -> bool:
    """True where a limit says what healthy machines give, how far they differ, and what each severity gives."""
    given = [len(band.typical) for band in limit.bands if band.typical]
    whole = bool(given) and all(count == len(FaultSeverity) for count in given)
    return limit.usual is not None and bool(limit.scatter) and whole


def numbers_of(limit: Limit) -> dict[str, float]:
    """Return the numbers of a limit's curve by name, in its unit; empty where it has none."""
    if limit.usual is None or not limit.scatter or not has_curve(limit):
        return {}
    own = {
        USUAL: from_si(limit.usual, limit.unit),
        SCATTER: span_from_si(limit.scatter, limit.unit),
        **{name: from_si(value, limit.unit) for name, value in _typical(limit)},
    }
    return {name: float(f"{value:.{DIGITS}g}") for name, value in own.items()}


def _typical(limit: Limit) -> Iterator[tuple[str, float]]:
    """What is typical of a limit's bands, by name (SI)."""
    for band in limit.bands:
        for severity in FaultSeverity:
            if severity in band.typical:
                yield typical_name(band.id, severity), band.typical[severity]


def limit_with(limit: Limit, numbers: Mapping[str, float]) -> Limit:
    """Return a limit with these numbers of its curve (its unit) in place of its own."""
    if not numbers:
        return limit
    return replace(
        limit,
        usual=to_si(numbers[USUAL], limit.unit) if USUAL in numbers else limit.usual,
        scatter=span_to_si(numbers[SCATTER], limit.unit) if SCATTER in numbers else limit.scatter,
        bands=tuple(_band(limit, band, numbers) for band in limit.bands),
    )


def _band(limit: Limit, band: Band, numbers: Mapping[str, float]) -> Band:
    """A band with these numbers of its curve."""
    typical = {
        severity: to_si(numbers[name], limit.unit)
        if (name := typical_name(band.id, severity)) in numbers
        else value
        for severity, value in band.typical.items()
    }
    return replace(band, typical=typical)
