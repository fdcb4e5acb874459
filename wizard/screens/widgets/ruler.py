"""A limit as a ruler: its bands with their verdicts, the edges under them, the readings on it, and the source."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.widgets import Static

from wizard.engine.judging import Judged
from wizard.flow.model import Band, Limit
from wizard.measure import units
from wizard.review.measured import worst_of as worst_of
from wizard.screens.models.converted import beside, shorter, system_of
from wizard.screens.plain import plain as ascii_only
from wizard.screens.widgets.verdicts import STYLES, verdict_word

STATUS = {
    "P": "published",
    "P*": "published, from memory",
    "C": "common practice",
    "E": "estimate",
    "S": "service sheet",
}
_ROUND = {
    "thick": "─",
    "below": "├",
    "up_to": "┤",
    "mark": "▲",
    "other": "·",
    "low": "◄",
    "high": "►",
    "arm": "─",
}
_PLAIN = {
    "thick": "-",
    "below": "|",
    "up_to": "|",
    "mark": "^",
    "other": ".",
    "low": "<",
    "high": ">",
    "arm": "-",
}


WIDEST = 72
"""Columns of a ruler at most."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Which values (SI) the ruler's ends stand for, and how many columns it has."""

    low: float
    high: float
    width: int

    def column(self, value: float) -> int:
        """The column of a value, those beyond an end at that end."""
        share = (value - self.low) / (self.high - self.low)
        return min(self.width - 1, max(0, round(share * (self.width - 1))))

    def beyond(self, value: float) -> int:
        """-1 below the ruler, 1 above it, 0 on it."""
        return -1 if value < self.low else 1 if value > self.high else 0


def scale(limit: Limit, readings: Sequence[Judged], width: int) -> Scale:
    """A scale with every edge in it, and the readings as far as they don't press the edges together.

    It begins at nothing where nothing is near, so that a length on it is what it looks like.
    """
    edges = [b.top for b in limit.bands if b.top is not None] or [r.mean for r in readings] or [0.0]
    least, most, zero = min(edges), max(edges), _zero(limit.unit)
    span = (most - least) or abs(most - zero) or 1.0
    reach = [r.mean + s * 2 * r.uncertainty for r in readings for s in (-1, 1)]
    low = max(min([least - 0.35 * span, *reach]), least - 1.5 * span)
    high = min(max([most + 0.35 * span, *reach]), most + 1.5 * span)
    if 0 <= least - zero <= 3 * span and all(r.mean >= zero for r in readings):
        low = zero
    return Scale(low, high, max(12, width))


def _zero(unit: str) -> float:
    """The SI value of nothing in this unit: 273.15 K for degrees Celsius, else 0."""
    return units.to_si(0.0, unit) if unit else 0.0


def ruler(
    limit: Limit, readings: Sequence[Judged], width: int, plain: bool = False, unit: str = ""
) -> list[Content]:
    """The lines of a ruler: bands, edges, readings (one marked, the rest dots), that one in words, the source.

    ``unit`` is how the readings are read; the limit's own where it is left out.
    """
    marks = _PLAIN if plain else _ROUND
    place = scale(limit, readings, width)
    lines = [_bands(limit, place, marks, plain), Content(_edges(limit, place, unit or limit.unit))]
    worst = worst_of(readings)
    if worst is not None:
        lines.append(_readings(readings, worst, place, marks))
        lines.append(reading_words(worst, unit or limit.unit, plain, len(readings) > 1))
    lines.extend(Content.styled(text, "$faint") for text in _wrapped(source_words(limit, unit), place.width))
    return lines


def room_of(limit: Limit | None, unit: str, width: int, marked: bool) -> int:
    """Lines of a ruler with one above it, 0 without a limit: bands, edges, source, marks and words once ``marked``.

    Six at least, so that a step isn't laid out anew by its first reading where its source is short.
    """
    if limit is None:
        return 0
    return max(6, 3 + 2 * marked + len(_wrapped(source_words(limit, unit), min(WIDEST, width))))


def source_words(limit: Limit, unit: str = "") -> str:
    """Where a limit comes from, for people: 'Pull of one damper. Source: ... (estimate)'.

    Where another ``unit`` than the limit's own is on screen, each measure has its value in that system behind it.
    """
    status = STATUS.get(limit.status, limit.status)
    known = limit.source.lower().startswith(status)
    text = f"{limit.says}. {limit.source}" + ("" if known else f" ({status})")
    return beside(text, system_of(limit.unit, unit))


def reading_words(judged: Judged, unit: str, plain: bool = False, several: bool = False) -> Content:
    """One judged reading in words: 'damper 2, out  31.2 ± 1.9 N  ! watch'."""
    value = value_words(judged, unit)
    value = value.replace("±", "+-") if plain else value
    lead = "worst: " if several else ""
    name = f"{lead}{judged.name}  " if judged.name else lead
    word = verdict_word(judged.verdict, plain)
    text = Content(f"{name}{value}")
    return text.append("  ").append(Content.styled(word, STYLES[judged.verdict])) if word else text


def value_words(judged: Judged, unit: str) -> str:
    """The value with its standard uncertainty, honestly rounded."""
    if not unit:
        return f"{judged.mean:.4g}"
    return units.text(judged.mean, unit, judged.uncertainty)


def _bands(limit: Limit, place: Scale, marks: dict[str, str], plain: bool) -> Content:
    """The ruler itself: each band as long as it is, with its verdict in it where there is room."""
    stops = [place.column(b.top) if b.top is not None else place.width for b in limit.bands]
    line, start = Content(""), 0
    for band, stop in zip(limit.bands, stops, strict=True):
        room = max(0, stop - start)
        line = line.append(Content.styled(_filled(band, room, marks, plain), STYLES[band.verdict]))
        if band.top is not None and start <= stop:
            line = line.append(marks["up_to" if band.inclusive else "below"])
            start = stop + 1
    return line


def _filled(band: Band, room: int, marks: dict[str, str], plain: bool) -> str:
    word = verdict_word(band.verdict, plain)
    for text in (f" {word} ", word, word[:1]):
        if len(text) <= room:
            return text.center(room, marks["thick"])
    return marks["thick"] * room


def _edges(limit: Limit, place: Scale, unit: str) -> str:
    """The edges in figures under their ticks, the unit once at the end; none over another."""
    line = ""
    for band in limit.bands:
        if band.top is None:
            continue
        text = figures(band.top, unit) if unit == limit.unit else shorter(band.top, unit)
        at = max(len(line) + 1 if line else 0, place.column(band.top) - len(text) // 2)
        line = line.ljust(at) + text
    symbol = "" if unit in ("1", "count", "") else f" {unit}"
    return line + symbol


def figures(value: float, unit: str) -> str:
    """A value's figures in its unit, without the unit."""
    return units.text(value, unit).split(" ")[0] if unit else f"{value:g}"


def _readings(readings: Sequence[Judged], worst: Judged, place: Scale, marks: dict[str, str]) -> Content:
    """Dots for the readings, the deciding one with arms as long as its uncertainty (twice the standard one)."""
    row = [" "] * place.width
    for r in readings:
        row[place.column(r.mean)] = marks["other"]
    centre = place.column(worst.mean)
    ends = [place.column(worst.mean + s * 2 * worst.uncertainty) for s in (-1, 1)]
    for at in range(ends[0], ends[1] + 1):
        row[at] = marks["arm"]
    sign = {-1: marks["low"], 0: marks["mark"], 1: marks["high"]}[place.beyond(worst.mean)]
    row[centre] = sign
    return Content("".join(row).rstrip()).stylize("bold", centre, centre + 1)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, max(20, width))


class Ruler(Static):
    """Shows a limit with the readings on it."""

    DEFAULT_CSS = """
    Ruler { height: auto; width: 1fr; }
    """

    def show(self, limit: Limit | None, readings: Sequence[Judged], unit: str = "", width: int = 0) -> None:
        """Show the ruler, or nothing where the step has no limit."""
        self.display = limit is not None
        if limit is None:
            self.update("")
            return
        plain = ascii_only()
        room = width or min(WIDEST, (self.size.width or WIDEST))
        self.update(Content("\n").join(ruler(limit, readings, room, plain, unit)))
