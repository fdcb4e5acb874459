"""What was read so far, as a small table: a row an item and way, a column a repeat, mean, spread and verdict."""

from __future__ import annotations

import statistics
from collections.abc import Collection, Mapping, Sequence

from textual.content import Content
from textual.widgets import Static

from wizard.engine.measuring import judging
from wizard.engine.measuring.judging import Judged, Slot
from wizard.engine.state.job_state import ReadingRecord
from wizard.flow.model import Reading
from wizard.measure.quantities import units, written_units
from wizard.screens.text.charset import plain as ascii_only
from wizard.screens.text.verdict_signs import style_of, verdict_word
from wizard.screens.widgets.entry.scroll_hint import STYLE, above, more

COLUMN, NARROW = 8, 6
"""Columns of a reading, with a space before it; and where there is little room."""

_MEAN = 12
"""Columns of a mean with its uncertainty, where a spread follows it."""

_JUDGED = 18
"""Columns of a mean with its uncertainty and verdict, as they mostly are."""

_SPREAD = 9
"""Columns more where the spread of repeats stands beside their mean."""


def repeats(
    reading: Reading,
    facts: Mapping[str, str],
    taken: Sequence[ReadingRecord],
    judged: Sequence[Judged],
    asked: Slot | None = None,
    room: int = 9,
    plain: bool = False,
    column: int = COLUMN,
) -> list[Content]:
    """The table's lines, at most ``room`` of them with the heading: the rows around the one asked now. Where rows
    follow below, the last line says how many; with room for one row only, the heading does.

    ``judged`` are the items of ``judging.judge_readings`` over the same readings; ``column`` what a reading takes.
    """
    groups = grouped(taken)
    rows = list(dict.fromkeys((s.item, s.way) for s in judging.slots(reading, facts)))
    names = {row: judging.slot_name(reading, facts, Slot(row[0], row[1], 0)) for row in rows}
    verdicts = dict(zip(sorted(groups), judged, strict=False))
    now = rows.index((asked.item, asked.way)) if asked and (asked.item, asked.way) in rows else len(rows) - 1
    first, last = _in_sight(len(rows), now, max(1, room - 1))
    wide = max((len(n) for n in names.values()), default=0)
    words = [_mean_head(reading), *(mean_words(j, reading.unit, plain) for j in judged)]
    means = _MEAN if column == COLUMN else max(map(len, words)) + 1
    heading, follow = _heading(reading, wide, column, means), len(rows) - last
    turned = _turned(taken, reading.unit)
    lines = [Content.styled(heading, "$faint")]
    for row in rows[first:last]:
        open_repeat = asked.repeat if asked and (asked.item, asked.way) == row else -1
        name, values, verdict = names[row].ljust(wide), groups.get(row, {}), verdicts.get(row)
        lines.append(
            _row(reading, name, values, verdict, open_repeat, plain, turned.get(row, ()), column, means)
        )
    return _with_hints(lines, first, follow, room, wide)


def _with_hints(lines: list[Content], before: int, follow: int, room: int, wide: int) -> list[Content]:
    """The lines with what says that rows lie above and how many follow below, in the heading where nothing else is
    free.
    """
    if before and not lines[1].plain.startswith(("▸", ">")):
        lines[1] = Content.styled(above(), STYLE).append(lines[1][1:])
    if follow and room > len(lines):
        return [*lines, Content("  ").append(more(follow))]
    if follow:
        sentence = more(follow)
        lines[0] = sentence.append(lines[0][min(len(sentence.plain), 2 + wide) :])
    return lines


def _in_sight(count: int, now: int, room: int) -> tuple[int, int]:
    """The rows shown; one line less where more follow and there is room to say so."""
    first, last = window(count, now, room)
    return window(count, now, room - 1) if last < count and room > 1 else (first, last)


def _turned(taken: Sequence[ReadingRecord], unit: str) -> dict[tuple[int, int], set[int]]:
    """The repeats of each row that were read in another unit than the table's."""
    found: dict[tuple[int, int], set[int]] = {}
    for t in taken:
        try:
            meant = units.read(t.typed, t.unit).unit
        except ValueError:
            continue  # No number as it was typed: it is shown as it was taken.
        if meant != units.find(unit).symbol:
            found.setdefault((t.item, t.way), set()).add(t.repeat)
    return found


def grouped(taken: Sequence[ReadingRecord]) -> dict[tuple[int, int], dict[int, float]]:
    """Readings by (item, way) and then by repeat."""
    groups: dict[tuple[int, int], dict[int, float]] = {}
    for t in taken:
        groups.setdefault((t.item, t.way), {})[t.repeat] = t.value
    return groups


def window(count: int, now: int, room: int) -> tuple[int, int]:
    """The rows shown, (first, past the last): ``room`` of them with row ``now`` among them."""
    first = min(max(0, now - max(0, room - 2)), max(0, count - room))
    return first, min(count, first + room)


def _mean_head(reading: Reading) -> str:
    return "mean" if written_units.unwritten(reading.unit) else f"mean, {reading.unit}"


def _heading(reading: Reading, wide: int, column: int, means: int) -> str:
    columns = "".join(f"{n + 1:>{column}}" for n in range(reading.repeats))
    heading = f"  {' ' * wide}{columns}   {_mean_head(reading)}"
    return f"{heading.ljust(2 + wide + len(columns) + 3 + means)} spread" if reading.repeats > 1 else heading


def _row(
    reading: Reading,
    name: str,
    values: Mapping[int, float],
    judged: Judged | None,
    asked: int,
    plain: bool,
    turned: Collection[int] = (),
    column: int = COLUMN,
    means: int = _MEAN,
) -> Content:
    pointer = (">" if plain else "▸") if asked >= 0 else " "
    line = Content(f"{pointer} {name}")
    for repeat in range(reading.repeats):
        doubt = judged.uncertainty if judged and repeat in turned else 0.0
        text = number(values.get(repeat), reading.unit, repeat == asked, doubt, column)
        line = line.append(Content.styled(f"{text:>{column}}", "bold" if repeat == asked else ""))
    if judged is None:
        return line
    mean = mean_words(judged, reading.unit, plain)
    line = line.append("   " + (mean.ljust(means) if reading.repeats > 1 else mean))
    if reading.repeats > 1:
        line = line.append(
            Content.styled(spread_words(list(values.values()), reading.unit).rjust(COLUMN - 1), "$faint")
        )
    word = verdict_word(judged.verdict, plain)
    return line.append("  ").append(Content.styled(word, style_of(judged.verdict))) if word else line


def number(value: float | None, unit: str, asked: bool, doubt: float = 0.0, column: int = COLUMN) -> str:
    """A reading's figures; '?' for the one asked now, '.' for one to come.

    ``doubt``: the standard uncertainty (SI) of one that was turned into this unit, which has no figures of its own.
    """
    if value is None:
        return "?" if asked else "."
    if doubt > 0.0:
        return units.brief(value, unit, doubt).split(" ")[0]
    text = f"{units.from_si(value, unit):.5g}"
    return text if len(text) < column else f"{units.from_si(value, unit):.3g}"


def spread_words(values: Sequence[float], unit: str) -> str:
    """The repeats' standard deviation in the unit, to two figures; nothing for fewer than two."""
    if len(values) < 2:
        return ""
    spread = units.span_from_si(statistics.stdev(values), unit)
    return f"{spread:.2g}" if spread < 100 else f"{spread:.0f}"


def mean_words(judged: Judged, unit: str, plain: bool = False) -> str:
    """The mean with its standard uncertainty, without the unit."""
    text = units.text(judged.mean, unit, judged.uncertainty)
    symbol = units.find(unit).symbol
    text = text.removesuffix(f" {symbol}")
    return text.replace("±", "+-") if plain else text


def width_of(reading: Reading, facts: Mapping[str, str], column: int = NARROW) -> int:
    """Columns of the whole table, the longest verdict among them."""
    names = (judging.slot_name(reading, facts, slot) for slot in judging.slots(reading, facts))
    words = _JUDGED + (_SPREAD if reading.repeats > 1 else 0)
    return 2 + max(map(len, names)) + column * reading.repeats + words


def lines_of(reading: Reading, facts: Mapping[str, str]) -> int:
    """Lines of the whole table, its heading included."""
    return 1 + len({(slot.item, slot.way) for slot in judging.slots(reading, facts)})


class ReadingsTable(Static):
    """Shows the readings of the step on screen."""

    DEFAULT_CSS = """
    ReadingsTable { height: auto; width: 1fr; text-wrap: nowrap; }
    """

    def show(
        self,
        reading: Reading,
        facts: Mapping[str, str],
        taken: Sequence[ReadingRecord],
        judged: Sequence[Judged],
        asked: Slot | None,
        room: int = 9,
        width: int = 0,
    ) -> None:
        """Show the table; at most ``room`` lines, in ``width`` columns where that is said."""
        plain = ascii_only()
        column = NARROW if 0 < width < width_of(reading, facts, COLUMN) else COLUMN
        lines = repeats(reading, facts, taken, judged, asked, room, plain, column)
        self.update(Content("\n").join(lines))
