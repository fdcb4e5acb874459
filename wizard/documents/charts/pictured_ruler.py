"""The parts of a ruler's picture: a limit's bands, its edges, and the readings on it, before and after a repair."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wizard.documents.charts.limit_ruler import Scale, figures, named, scale, shorter
from wizard.documents.content.measurements import worst_of
from wizard.documents.ruler_picture import MarkKind, RulerBand, RulerEdge, RulerMark, RulerPicture
from wizard.documents.text.limit_text import GOOD, bands
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Limit

_COLUMNS = 64
_NO_SYMBOL = ("", "1", "count")


def ruler_picture(
    limit: Limit, before: Sequence[Judged], after: Sequence[Judged], unit: str = ""
) -> RulerPicture:
    """The picture of what one limit judges; the reading that decides of each of the two has words, the others none.

    ``unit`` is how the readings are read; the limit's own where it is empty.
    """
    readings, shown = (*before, *after), unit or limit.unit
    place = scale(limit, readings, _COLUMNS)
    marks = (*_marks(limit, before, MarkKind.BEFORE, place, shown), *_marks(limit, after, MarkKind.AFTER, place, shown))
    read = "; ".join(mark.words for mark in marks if mark.words)
    return RulerPicture(
        tuple(_bands(limit, place)),
        tuple(_edges(limit, place, shown)),
        marks,
        "" if shown in _NO_SYMBOL else shown,
        f"{limit.says}: {bands(limit)}. {read}".strip(),
    )


def _share(place: Scale, value: float) -> float:
    """Where a value (SI) lies on the line, 0 to 1; what is beyond an end at that end."""
    return min(1.0, max(0.0, (value - place.low) / (place.high - place.low)))


def _bands(limit: Limit, place: Scale) -> Iterator[RulerBand]:
    start = 0.0
    for band in limit.bands:
        end = 1.0 if band.top is None else _share(place, band.top)
        yield RulerBand(start, end, band.verdict, GOOD[band.verdict])
        start = end


def _edges(limit: Limit, place: Scale, unit: str) -> Iterator[RulerEdge]:
    for band in limit.bands:
        if band.top is not None:
            text = figures(band.top, unit) if unit == limit.unit else shorter(band.top, unit)
            yield RulerEdge(_share(place, band.top), text)


def _marks(
    limit: Limit, readings: Sequence[Judged], kind: MarkKind, place: Scale, unit: str
) -> Iterator[RulerMark]:
    """The readings of one side of a repair, the one that decides last, so that it lies on top."""
    worst = worst_of(readings, limit)
    for one in readings:
        if one is not worst:
            yield _mark(one, MarkKind.OTHER, place, "")
    if worst is not None:
        verdict = f", {GOOD[worst.verdict]}" if worst.verdict else ""
        yield _mark(worst, kind, place, f"{named(worst, unit, several=len(readings) > 1)}{verdict}")


def _mark(one: Judged, kind: MarkKind, place: Scale, words: str) -> RulerMark:
    low, high = (_share(place, one.mean + s * 2 * one.uncertainty) for s in (-1, 1))
    return RulerMark(kind, _share(place, one.mean), low, high, place.beyond(one.mean), words)
