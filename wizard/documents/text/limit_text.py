"""Limits, their bands, sources and verdicts, and judged values in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wizard.domain.vocabulary import LimitStatus, Verdict
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Band, Limit
from wizard.measure.quantities import units
from wizard.measure.uncertainty import conformity

GOOD: Mapping[Verdict, str] = {Verdict.PASS: "good", Verdict.WATCH: "to be watched", Verdict.FAIL: "not good"}
"""Verdicts as a customer reads them."""

STATUSES: Mapping[LimitStatus, str] = {
    LimitStatus.PUBLISHED: "published",
    LimitStatus.RECALLED: "published, from memory",
    LimitStatus.PRACTICE: "common practice",
    LimitStatus.ESTIMATE: "estimate",
    LimitStatus.SHEET: "service sheet",
}
"""What a limit rests on."""


def value(judged: Judged, unit: str) -> str:
    """A judged value with its standard uncertainty and unit, honestly rounded."""
    return units.text(judged.mean, unit, judged.uncertainty) if unit else f"{judged.mean:.4g}"


def edge(top: float, unit: str) -> str:
    """An edge of a limit in its unit."""
    return units.text(top, unit) if unit else f"{top:g}"


def good_range(limit: Limit) -> str:
    """What passes: 'up to 5 mm', '40 to 80 N', '100 mm or more'; empty where nothing does."""
    return " or ".join(_range(low, band, limit.unit) for low, band in _passing(limit))


def _passing(limit: Limit) -> list[tuple[Band | None, Band]]:
    """Each range that passes, as the band before it and its last band."""
    found: list[tuple[Band | None, Band]] = []
    low: Band | None = None
    for band in limit.bands:
        if band.verdict is Verdict.PASS:
            found.append((low, band))
        low = band
    return _merged(found)


TOO_COARSE = "read too coarsely to come out good, whatever it is"
"""What is said of a value to be watched that no value could be better than, with its uncertainty."""


def too_coarse(limit: Limit, judged: Judged) -> bool:
    """True for a value to be watched where none at all, with its uncertainty, would be 95 % sure to be good: its tool,
    or what it was computed from, is too coarse for the limit.

    The best value is the middle of a range; of one without a lower end 0, or the value itself where that is below.
    """
    if judged.verdict is not Verdict.WATCH or judged.doubted:
        return False
    edges = [b.top for b in limit.bands if b.top is not None]
    inclusive = [b.inclusive for b in limit.bands if b.top is not None]
    verdicts = [b.verdict for b in limit.bands]
    best = [_best(low, band, judged) for low, band in _passing(limit)]
    chances = [conformity.bands(v, judged.uncertainty, edges, inclusive) for v in best]
    return bool(chances) and all(conformity.verdict(c, verdicts).verdict is not Verdict.PASS for c in chances)


def _best(low: Band | None, band: Band, judged: Judged) -> float:
    """The value of a range that is furthest from its ends."""
    if band.top is None:
        return max(judged.mean, low.top if low and low.top is not None else 0.0) + 100.0 * judged.uncertainty
    if low is None or low.top is None:
        return min(0.0, judged.mean)
    return (low.top + band.top) / 2.0


def _merged(found: Sequence[tuple[Band | None, Band]]) -> list[tuple[Band | None, Band]]:
    """Passing bands side by side make one range."""
    joined: list[tuple[Band | None, Band]] = []
    for low, band in found:
        if joined and joined[-1][1] is low:
            joined[-1] = (joined[-1][0], band)
        else:
            joined.append((low, band))
    return joined


def _range(low: Band | None, band: Band, unit: str) -> str:
    least = low.top if low else None
    if least is None and band.top is None:
        return "any"
    if band.top is None:
        assert low is not None and least is not None
        return f"over {edge(least, unit)}" if low.inclusive else f"{edge(least, unit)} or more"
    if least is None:
        return f"up to {edge(band.top, unit)}" if band.inclusive else f"below {edge(band.top, unit)}"
    return f"{figure(least, unit)} to {edge(band.top, unit)}"


def figure(top: float, unit: str) -> str:
    """An edge's figures without the unit."""
    return edge(top, unit).split(" ")[0]


def bands(limit: Limit) -> str:
    """Every band: 'fail below 30 N; watch below 40 N; pass up to 80 N; fail above'."""
    parts = []
    for band in limit.bands:
        if band.top is None:
            parts.append(f"{band.verdict} above" if len(limit.bands) > 1 else band.verdict)
        else:
            parts.append(
                f"{band.verdict} {'up to' if band.inclusive else 'below'} {edge(band.top, limit.unit)}"
            )
    return "; ".join(parts)


def source(limit: Limit) -> str:
    """Where a limit comes from, its status said once."""
    status = STATUSES[limit.status]
    words = limit.source.lower().startswith(status)
    return limit.source if words else f"{limit.source} ({status})"
