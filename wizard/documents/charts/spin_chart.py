"""The course of a recorded spin as text: the drum's speed over time, and below it how loud it is."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from wizard.documents.charts.canvas import Mark, Point, draw
from wizard.documents.charts.canvas import PlotFrame as Frame

if TYPE_CHECKING:
    from wizard.recordings.spin_report import SpinReport

_GUTTER = 8
_DENSE = 3  # dots a column, at least
_DECADES = 2.5  # of the level that are shown


def spin_chart(report: SpinReport, width: int, rows: int, plain: bool) -> tuple[str, ...]:
    """Return the lines: two pictures of ``rows`` lines each over one axis of time, bangs marked by '!', phases
    named.
    """
    columns = max(20, width - _GUTTER)
    seconds = report.signal.seconds
    times = [float(at) for at in report.course.at]
    speeds = [60 * float(speed) for speed in report.course.speed]
    top = 200 * math.ceil(max([speed for speed in speeds if not math.isnan(speed)], default=200.0) / 200)
    turning = [(at, speed) for at, speed in zip(times, speeds, strict=True) if not math.isnan(speed)]
    bangs = [
        Mark((at, top * 0.97), "!")
        for figure in report.figures
        if (at := figure.at) is not None and _bang(figure)
    ]
    frame = Frame(columns, rows, 0.0, seconds, 0.0, float(top))
    drawn = draw(frame, _filled(turning, columns, seconds), bangs, plain)
    lines = ["rpm", *_with_scale(drawn, rows, f"{top:.0f}", "0", plain)]
    lines += [
        "level, m/s2" if report.signal.calibrated else "level",
        *_with_scale(*_level(report, times, columns, rows, plain), plain),
    ]
    return (*lines, _names(report, columns, seconds), _axis(columns, seconds))


def _bang(figure: object) -> bool:
    from wizard.domain.recording_vocabulary import FigureKind

    return getattr(figure, "kind", None) is FigureKind.BANG


def _level(
    report: SpinReport, times: list[float], columns: int, rows: int, plain: bool
) -> tuple[tuple[str, ...], int, str, str]:
    """Return the picture of the level, its rows, and the words of its scale: decades, since a spin has hundreds of
    times the level of rest.
    """
    levels = [math.log10(max(float(level), 1e-12)) for level in report.level]
    high = math.ceil(max(levels) * 4) / 4
    low = max(high - _DECADES, math.floor(min(levels) * 4) / 4 - 0.25)
    frame = Frame(columns, rows, 0.0, report.signal.seconds, low, high)
    points = [(at, max(level, low)) for at, level in zip(times, levels, strict=True)]
    drawn = draw(frame, _filled(points, columns, report.signal.seconds), (), plain)
    if report.signal.calibrated:
        return drawn, rows, f"{10**high:.2g}", f"{10**low:.2g}"
    return drawn, rows, "0 dB", f"{20 * (low - high):.0f}"


def _filled(points: list[Point], columns: int, seconds: float) -> list[Point]:
    """Return the points with more between neighbours, so that a line is seen."""
    step = seconds / columns / _DENSE
    found: list[Point] = list(points)
    for (t0, y0), (t1, y1) in pairwise(points):
        if t1 - t0 > 2.0:
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


def _names(report: SpinReport, columns: int, seconds: float) -> str:
    """Return the names of the phases under their stretches, as far as there is room."""
    cells = [" "] * (columns + 1)
    for stretch in report.stretches:
        first, last = (round(at / seconds * columns) for at in (stretch.start, stretch.end))
        name = str(stretch.phase)
        if last - first > len(name):
            cells[first : first + len(name)] = name
    return (" " * _GUTTER + "".join(cells)).rstrip()


def _axis(columns: int, seconds: float) -> str:
    """Return the times at the start, the middle and the end, s."""
    half, end = f"{seconds / 2:.0f}", f"{seconds:.0f} s"
    return f"{' ' * _GUTTER}0{half:^{columns - len(end) - 1}}{end}"
