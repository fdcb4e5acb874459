"""What is wrong with a limit's curve: in words, each with the key of the limit's table that it is said of.

Most healthy machines pass, the severest lies in its own band, and a reading at the edge of a band speaks for the fault
that shows there: else a failing one would clear it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from wizard.domain.vocabulary import FaultSeverity, Verdict
from wizard.flow.model.fault_model import Band, Limit
from wizard.measure.quantities.units import from_si
from wizard.measure.uncertainty import conformity

PASSES = 0.95
"""A healthy machine passes at least this often."""


def band_problems(limit: Limit) -> Iterator[tuple[str, str]]:
    """What is wrong where the severest lies in another band than its own: the key, and a text."""
    for band in limit.bands if _has_curve(limit) else ():
        severest = band.typical.get(FaultSeverity.SEVERE)
        if severest is not None and _band(limit, severest) is not band:
            where, value = _band(limit, severest).id, from_si(severest, limit.unit)
            yield "band", f'severe, {value:g} {limit.unit}, lies in band "{where}", not in "{band.id}"'


def _has_curve(limit: Limit) -> bool:
    """True where a limit has what its typical values are held against."""
    return limit.usual is not None and bool(limit.scatter) and any(band.typical for band in limit.bands)


def usual_problems(limit: Limit) -> Iterator[tuple[str, str]]:
    """What is wrong where not most healthy machines pass: the key, and a text."""
    if not _has_curve(limit) or limit.usual is None or limit.scatter is None:
        return
    tops = [band.top for band in limit.bands if band.top is not None]
    inclusive = [band.inclusive for band in limit.bands if band.top is not None]
    chances = conformity.bands(limit.usual, limit.scatter, tops, inclusive)
    passed = math.fsum(
        p for p, band in zip(chances, limit.bands, strict=True) if band.verdict is Verdict.PASS
    )
    if passed < PASSES:
        text = f"a healthy machine passes {100 * passed:.0f} times in 100 only, by usual and scatter; 95 are asked for"
        yield "scatter", text


def _band(limit: Limit, value: float) -> Band:
    """The band in which a value lies."""
    for band in limit.bands:
        if band.top is None or value < band.top or (band.inclusive and value == band.top):
            return band
    return limit.bands[-1]


def reading_problems(limit: Limit, severity: Mapping[FaultSeverity, float]) -> Iterator[tuple[str, str]]:
    """What is wrong where a reading at the edge of a band speaks against its fault: the key, and a text."""
    for n, band in enumerate(limit.bands):
        curve = limit.curve(band, severity)
        below = limit.bands[n - 1].top if n else None
        if curve is None or not curve.in_order:
            continue
        edge = band.top if curve.centres[0][0] < curve.healthy else below
        if edge is not None and curve.log_ratio(edge, 0.0) < 0.0:
            yield (
                "band",
                (
                    f'a reading at the edge of band "{band.id}", {from_si(edge, limit.unit):g} {limit.unit}, speaks '
                    "against the fault, by usual, scatter and typical"
                ),
            )


def curve_problems(limit: Limit, severity: Mapping[FaultSeverity, float]) -> tuple[str, ...]:
    """Return in words all that is wrong with the curve of a limit; empty where it is sound or there is none."""
    curves = [(band, limit.curve(band, severity)) for band in limit.bands]
    turned = (
        f'mild, moderate, severe of band "{band.id}" don\'t lie on one side of usual, each further from it'
        for band, curve in curves
        if curve is not None and not curve.in_order
    )
    found = (*usual_problems(limit), *band_problems(limit), *reading_problems(limit, severity))
    return (*turned, *(text for _key, text in found))
