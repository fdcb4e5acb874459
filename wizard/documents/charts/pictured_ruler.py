"""The parts of a ruler's picture: a limit's bands, its edges, and the readings on it, before and after a repair."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.documents.charts.limit_ruler import Scale, figures, named, scale, shorter, value_words
from wizard.documents.content.measurements import worst_of
from wizard.documents.ruler_picture import MarkKind, RulerBand, RulerEdge, RulerMark, RulerPicture
from wizard.documents.text.limit_text import GOOD, bands
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Limit

_COLUMNS = 64

_NO_SYMBOL = ("", "1", "count")


@dataclass(frozen=True, slots=True)
class Leads:
    """What stands before the figures of a mark, of each side of a repair."""

    before: str = ""
    after: str = ""


def ruler_picture(
    limit: Limit, before: Sequence[Judged], after: Sequence[Judged], unit: str = "", leads: Leads = Leads()
) -> RulerPicture:
    """The picture of what one limit judges; the reading that decides of each of the two has its figures, the others
    none.

    ``unit`` is how the readings are read; the limit's own where it is empty.
    """
    readings, shown = (*before, *after), unit or limit.unit
    place = scale(limit, readings, _COLUMNS)
    sides = ((before, MarkKind.BEFORE, leads.before), (after, MarkKind.AFTER, leads.after))
    marks = [mark for some, kind, lead in sides for mark in _marks(limit, some, kind, place, shown, lead)]
    read = "; ".join(_words(limit, some, shown, lead) for some, _kind, lead in sides if some)
    return RulerPicture(
        tuple(_bands(limit, place)),
        tuple(_edges(limit, place, shown)),
        tuple(marks),
        "" if shown in _NO_SYMBOL else shown,
        f"{limit.says}: {bands(limit)}. {read}.",
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


def _words(limit: Limit, readings: Sequence[Judged], unit: str, lead: str) -> str:
    """'before: worst: damper 2, out  17 N, not good'."""
    worst = worst_of(readings, limit)
    assert worst is not None
    verdict = f", {GOOD[worst.verdict]}" if worst.verdict else ""
    return f"{lead}{named(worst, unit, several=len(readings) > 1)}{verdict}"


def _marks(
    limit: Limit, readings: Sequence[Judged], kind: MarkKind, place: Scale, unit: str, lead: str
) -> Iterator[RulerMark]:
    """The readings of one side of a repair, the one that decides last, so that it lies on top."""
    worst = worst_of(readings, limit)
    yield from (_mark(one, MarkKind.OTHER, place, "") for one in readings if one is not worst)
    if worst is not None:
        yield _mark(worst, kind, place, f"{lead}{value_words(worst, unit)}")


def _mark(one: Judged, kind: MarkKind, place: Scale, words: str) -> RulerMark:
    low, high = (_share(place, one.mean + s * 2 * one.uncertainty) for s in (-1, 1))
    return RulerMark(kind, _share(place, one.mean), low, high, place.beyond(one.mean), words)
