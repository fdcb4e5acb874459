"""The course of a recorded spin as text: the drum's speed over time, how loud it is, and each phase in a line."""

from __future__ import annotations

import math
from itertools import pairwise

from wizard.documents.charts.canvas import Mark, Point, draw
from wizard.documents.charts.canvas import PlotFrame as Frame
from wizard.domain.recording_vocabulary import FigureKind
from wizard.engine.messages.spin_record import KeptFigure, KeptStretch, SpinRecord

_GUTTER = 8
_DENSE = 3  # dots a column, at least
_DECADES = 2.5  # of the level that are shown
_GAP = 2.5  # times the usual step: what lies further apart isn't joined


def spin_chart(record: SpinRecord, width: int, rows: int, plain: bool) -> tuple[str, ...]:
    """Return the lines: two pictures of ``rows`` lines each over one axis of time, bangs marked by '!', phases
    named.
    """
    columns, seconds = max(20, width - _GUTTER), record.seconds
    turning = [(at, speed) for at, speed in zip(record.times, record.speeds, strict=True) if speed > 0]
    top = 200 * math.ceil(max([*(speed for _at, speed in turning), 200.0]) / 200)
    bangs = [
        Mark((figure.at, top * 0.97), "!")
        for figure in record.figures
        if _bang(figure) and figure.at is not None
    ]
    frame = Frame(columns, rows, 0.0, seconds, 0.0, float(top))
    drawn = draw(frame, _filled(turning, columns, seconds), bangs, plain)
    lines = ["rpm", *_with_scale(drawn, rows, f"{top:.0f}", "0", plain)]
    unit = f"level, {record.unit}" if record.unit == "m/s2" else "level"
    lines += [unit, *_with_scale(*_level(record, columns, rows, plain), plain)]
    return (*lines, _names(record, columns), _axis(columns, seconds))


def _bang(figure: KeptFigure) -> bool:
    return figure.figure is FigureKind.BANG and bool(figure.there)


def _level(record: SpinRecord, columns: int, rows: int, plain: bool) -> tuple[tuple[str, ...], int, str, str]:
    """Return the picture of the level, its rows, and the words of its scale: decades, since a spin has hundreds of
    times the level of rest.
    """
    levels = [math.log10(max(level, 1e-12)) for level in record.levels]
    high = math.ceil(max(levels) * 4) / 4
    low = max(high - _DECADES, math.floor(min(levels) * 4) / 4 - 0.25)
    frame = Frame(columns, rows, 0.0, record.seconds, low, high)
    points = [(at, max(level, low)) for at, level in zip(record.times, levels, strict=True)]
    drawn = draw(frame, _filled(points, columns, record.seconds), (), plain)
    if record.unit == "m/s2":
        return drawn, rows, f"{10**high:.2g}", f"{10**low:.2g}"
    return drawn, rows, "0 dB", f"{20 * (low - high):.0f}"


def _filled(points: list[Point], columns: int, seconds: float) -> list[Point]:
    """Return the points with more between neighbours, so that a line is seen."""
    step = seconds / columns / _DENSE
    apart = sorted(b[0] - a[0] for a, b in pairwise(points))
    gap = max(2.0, _GAP * apart[len(apart) // 2]) if apart else 2.0
    found: list[Point] = list(points)
    for (t0, y0), (t1, y1) in pairwise(points):
        if t1 - t0 > gap:
            continue
        count = int((t1 - t0) / step)
        found += [
            (t0 + (t1 - t0) * n / (count + 1), y0 + (y1 - y0) * n / (count + 1)) for n in range(1, count + 1)
        ]
    return found


def _with_scale(drawn: tuple[str, ...], rows: int, high: str, low: str, plain: bool) -> list[str]:
    """Return the lines of a picture behind their scale."""
    edge = "|" if plain else "│"
    words = [high, *[""] * (rows - 2), low]
    return [f"{word:>{_GUTTER - 2}} {edge}{line}".rstrip() for word, line in zip(words, drawn, strict=True)]


def _names(record: SpinRecord, columns: int) -> str:
    """Return the names of the phases under their stretches, as far as there is room."""
    cells = [" "] * (columns + 1)
    for stretch in record.stretches:
        first, last = (round(at / record.seconds * columns) for at in (stretch.start, stretch.end))
        name = str(stretch.phase)
        if last - first > len(name):
            cells[first : first + len(name)] = name
    return (" " * _GUTTER + "".join(cells)).rstrip()


def _axis(columns: int, seconds: float) -> str:
    """Return the times at the start, the middle and the end, s."""
    half, end = f"{seconds / 2:.0f}", f"{seconds:.0f} s"
    return f"{' ' * _GUTTER}0{half:^{columns - len(end) - 1}}{end}"


def phase_levels(record: SpinRecord, width: int, plain: bool) -> tuple[str, ...]:
    """Return a line for each stretch: its phase, when, its level, and a bar as long as that; of a sound dB alone."""
    if not record.stretches:
        return ()
    most = max(stretch.rms for stretch in record.stretches)
    return tuple(_phase_line(record, stretch, most, width, plain) for stretch in record.stretches)


def _phase_line(record: SpinRecord, stretch: KeptStretch, most: float, width: int, plain: bool) -> str:
    form = ".1f" if record.unit == "dB" else ".2g"
    head = f"{stretch.phase!s:<7}{stretch.start:>5.0f} to {stretch.end:>3.0f} s {stretch.rms:>7{form}} {record.unit} "
    if record.unit != "m/s2" or most <= 0:
        return head.rstrip()
    return (head + _strip(stretch.rms / most, width - len(head), plain)).rstrip()


def _strip(share: float, columns: int, plain: bool) -> str:
    """Return a bar of this share of the columns; at least one sign for anything above zero."""
    count = round(min(1.0, max(0.0, share)) * max(0, columns))
    return ("#" if plain else "█") * (count or (1 if share > 0 and columns > 0 else 0))
