"""A limit as a ruler, as text: its bands with their verdicts, the edges under them, the readings on it.

The screens colour the same pieces; the papers have them in ASCII, so that a printed line says what the screen said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wizard.documents.content.measurements import worst_of
from wizard.documents.document_tree import Chart
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Band, Limit
from wizard.measure.quantities import units

ROUND = {
    "thick": "─",
    "below": "├",
    "up_to": "┤",
    "mark": "▲",
    "other": "·",
    "low": "◄",
    "high": "►",
    "arm": "─",
    "ghost": "○",
}
PLAIN = {
    "thick": "-",
    "below": "|",
    "up_to": "|",
    "mark": "^",
    "other": ".",
    "low": "<",
    "high": ">",
    "arm": "-",
    "ghost": "o",
}
"""The signs of a ruler, and the same in ASCII."""

_SIGNS = {Verdict.PASS: "✓", Verdict.WATCH: "!", Verdict.FAIL: "✗"}
_PLAIN_SIGNS = {Verdict.PASS: "+", Verdict.WATCH: "!", Verdict.FAIL: "x"}


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


def verdict_word(verdict: Verdict | None, plain: bool = False) -> str:
    """'✓ pass', '! watch', '✗ fail' (ASCII: '+ pass', '! watch', 'x fail'); empty where nothing was judged."""
    return f"{(_PLAIN_SIGNS if plain else _SIGNS)[verdict]} {verdict}" if verdict is not None else ""


def bands(limit: Limit, place: Scale, plain: bool = False) -> list[tuple[str, Verdict | None]]:
    """The ruler itself in pieces, each with the verdict of its band: as long as it is, the word in it if it fits.

    What stands between two bands has no verdict.
    """
    marks = PLAIN if plain else ROUND
    stops = [place.column(b.top) if b.top is not None else place.width for b in limit.bands]
    pieces: list[tuple[str, Verdict | None]] = []
    start = 0
    for band, stop in zip(limit.bands, stops, strict=True):
        pieces.append((_filled(band, max(0, stop - start), marks, plain), band.verdict))
        if band.top is not None and start <= stop:
            pieces.append((marks["up_to" if band.inclusive else "below"], None))
            start = stop + 1
    return pieces


def _filled(band: Band, room: int, marks: Mapping[str, str], plain: bool) -> str:
    word = verdict_word(band.verdict, plain)
    for text in (f" {word} ", word, word[:1]):
        if len(text) <= room:
            return text.center(room, marks["thick"])
    return marks["thick"] * room


def edges(limit: Limit, place: Scale, unit: str) -> str:
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


def shorter(value: float, unit: str) -> str:
    """An SI value turned into another unit than its own: three figures, since it was set in that one."""
    return f"{float(f'{units.from_si(value, unit):.3g}'):g}" if unit else f"{value:.3g}"


def marked(readings: Sequence[Judged], worst: Judged, place: Scale, plain: bool = False) -> tuple[str, int]:
    """Dots for the readings, the deciding one with arms as long as its uncertainty (twice the standard one).

    With the column of that one.
    """
    marks = PLAIN if plain else ROUND
    row = [" "] * place.width
    for r in readings:
        row[place.column(r.mean)] = marks["other"]
    centre = place.column(worst.mean)
    ends = [place.column(worst.mean + s * 2 * worst.uncertainty) for s in (-1, 1)]
    for at in range(ends[0], ends[1] + 1):
        row[at] = marks["arm"]
    row[centre] = {-1: marks["low"], 0: marks["mark"], 1: marks["high"]}[place.beyond(worst.mean)]
    return "".join(row).rstrip(), centre


def ghost(earlier: Judged, place: Scale, unit: str, plain: bool = False) -> list[str]:
    """An earlier reading under its place on the ruler, by a sign of its own, with its words: '○ earlier: 18 N  ✗ fail'.

    The words stand behind the sign, before it, or on a line of their own, as there is room.
    """
    mark, at = (PLAIN if plain else ROUND)["ghost"], place.column(earlier.mean)
    word = verdict_word(earlier.verdict, plain)
    says = f"earlier: {named(earlier, unit, plain)}{f'  {word}' if word else ''}"
    if at + 2 + len(says) <= place.width:
        return [f"{' ' * at}{mark} {says}"]
    if len(says) + 1 <= at:
        return [f"{says.rjust(at - 1)} {mark}"]
    return [" " * at + mark, f"{mark} {says}"]


def value_words(judged: Judged, unit: str, plain: bool = False) -> str:
    """The value with its standard uncertainty, honestly rounded."""
    text = units.text(judged.mean, unit, judged.uncertainty) if unit else f"{judged.mean:.4g}"
    return text.replace("±", "+-") if plain else text


def named(judged: Judged, unit: str, plain: bool = False, several: bool = False) -> str:
    """'damper 2, out  31.2 ± 1.9 N', with 'worst:' before it where it is one of ``several``."""
    lead = "worst: " if several else ""
    return (
        f"{lead}{judged.name}  {value_words(judged, unit, plain)}"
        if judged.name
        else lead + value_words(judged, unit, plain)
    )


def limit_ruler(
    limit: Limit, readings: Sequence[Judged], unit: str, width: int, plain: bool = False
) -> Chart:
    """A ruler: bands, edges, readings (one marked, the rest dots); in words that one with its verdict.

    ``unit`` is how the readings are read; the limit's own where it is empty. Without readings the first two lines.
    """
    place, shown = scale(limit, readings, width), unit or limit.unit
    lines = ["".join(text for text, _verdict in bands(limit, place, plain)), edges(limit, place, shown)]
    worst = worst_of(readings, limit)
    if worst is None:
        return Chart(tuple(lines))
    lines.append(marked(readings, worst, place, plain)[0])
    words = named(worst, shown, plain, len(readings) > 1)
    return Chart(tuple(lines), (f"{words}  {verdict_word(worst.verdict, plain)}".rstrip(),))
