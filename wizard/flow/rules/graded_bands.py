"""What faulty machines typically read: in order, on one side of what healthy ones give, as the bands say."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import FaultSeverity, Verdict
from wizard.flow.model import Band, Limit
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.measure.quantities.units import from_si
from wizard.measure.uncertainty import conformity

PASSES = 0.95
"""A healthy machine passes at least this often."""


def graded(book: FlowIndex) -> Iterator[Problem]:
    """Limits whose bands say what is typical have what it is held against, and all of it in order."""
    for limit in book.declared(ThingKind.LIMIT):
        has = [spot for spot in limit.below("band") if spot.table.get("typical")]
        if "scatter" in limit.table and not has:
            said = "no band says what is typical of it. Say it, or take scatter out"
            yield book.error(limit, ("scatter",), said, "graded")
        if has:
            yield from _against(book, limit, has)


def _against(book: FlowIndex, limit: TableLocation, has: list[TableLocation]) -> Iterator[Problem]:
    """What the typical values are held against is there; then band by band."""
    missing = [key for key in ("usual", "scatter") if key not in limit.table]
    if missing or not limit.table["scatter"]:
        what = " and ".join(missing) or "a scatter above 0"
        said = f"typical values are held against what healthy machines give: add {what} to the limit"
        yield book.error(has[0], ("typical",), said, "graded")
        return
    usual = float(limit.table["usual"])
    for spot in has:
        yield from _in_order(book, spot, usual)


def _in_order(book: FlowIndex, spot: TableLocation, usual: float) -> Iterator[Problem]:
    """Mild, moderate, severe: each further from the usual, on one side."""
    given = [float(spot.table["typical"][s]) for s in FaultSeverity if s in spot.table["typical"]]
    off = [value - usual for value in given]
    rising = all(abs(a) < abs(b) for a, b in pairwise(off))
    if not rising or len({math.copysign(1, x) for x in off}) > 1 or 0.0 in off:
        said = f"mild, moderate, severe must lie on one side of usual, {usual:g}, each further from it"
        yield book.error(spot, ("typical",), said, "graded")
    if len(given) < len(FaultSeverity):
        yield book.error(spot, ("typical",), "name all three: mild, moderate, severe", "graded")
    if spot.table["verdict"] == Verdict.PASS:
        yield book.error(spot, ("typical",), "a band that passes shows no fault", "graded")


def accord(book: FlowIndex) -> Iterator[Problem]:
    """The severest lies in its own band; the usual lies in a band that passes, and so do most healthy machines."""
    for at, limit in _limits(book):
        bands = [band for band in limit.bands if band.typical]
        if not bands or limit.usual is None or not limit.scatter:
            continue
        yield from _passes(book, at, limit, limit.usual, limit.scatter)
        for band in bands:
            severest = band.typical.get(FaultSeverity.SEVERE)
            if severest is not None and _band(limit, severest) is not band:
                where, value = _band(limit, severest).id, from_si(severest, limit.unit)
                said = f'severe, {value:g} {limit.unit}, lies in band "{where}", not in "{band.id}"'
                yield book.error(at, ("band",), said, "graded")


def _limits(book: FlowIndex) -> Iterator[tuple[TableLocation, Limit]]:
    """Each limit with its place in the file."""
    counts: dict[str, int] = {}
    for spot in book.declared(ThingKind.LIMIT):
        name = spot.table["id"]
        place = counts[name] = counts.get(name, -1) + 1
        yield spot, book.flow.limits[name][place]


def _passes(
    book: FlowIndex, at: TableLocation, limit: Limit, usual: float, scatter: float
) -> Iterator[Problem]:
    """Most healthy machines pass."""
    tops = [band.top for band in limit.bands if band.top is not None]
    inclusive = [band.inclusive for band in limit.bands if band.top is not None]
    chances = conformity.bands(usual, scatter, tops, inclusive)
    passed = math.fsum(
        p for p, band in zip(chances, limit.bands, strict=True) if band.verdict is Verdict.PASS
    )
    if passed < PASSES:
        said = f"a healthy machine passes {100 * passed:.0f} times in 100 only, by usual and scatter; 95 are asked for"
        yield book.error(at, ("scatter",), said, "graded")


def _band(limit: Limit, value: float) -> Band:
    """The band in which a value lies."""
    for band in limit.bands:
        if band.top is None or value < band.top or (band.inclusive and value == band.top):
            return band
    return limit.bands[-1]


def shares(book: FlowIndex) -> Iterator[Problem]:
    """Mild, moderate and severe are all faults there are."""
    total = math.fsum(book.flow.severity.values())
    if abs(total - 1.0) > 0.005:
        said = f"mild, moderate and severe sum to {total:g}, not to 1"
        yield book.error(book.head(), ("severity",), said, "graded")


RULES = (graded, accord, shares)
