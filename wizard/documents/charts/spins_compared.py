"""Two recorded spins on one axis as text: before a repair by rings, after it by dots, and the differences in words."""

from __future__ import annotations

from itertools import pairwise

from wizard.documents.charts.canvas import Mark, Point, draw
from wizard.documents.charts.canvas import PlotFrame as Frame
from wizard.documents.document_tree import Chart
from wizard.documents.spin_picture import SpinPicture, spin_picture
from wizard.engine.measuring.spin_comparison import comparison
from wizard.engine.messages.spin_record import SpinRecord

_GUTTER = 8
_EVERY = 3  # columns from ring to ring
LEGEND = "o before, dots after. Ramp and coast go along the drum's speed, the spin along its time."


def spins_compared(
    before: SpinRecord, after: SpinRecord, columns: int = 56, rows: int = 9, plain: bool = False
) -> Chart:
    """The picture and its words; only words where no level of the two can be compared."""
    picture = spin_picture(before, after)
    if picture is None:
        return Chart((), comparison(before, after).says or ("No phase of the spin is in both recordings.",))
    wide = max(24, columns - _GUTTER)
    frame = Frame(wide, rows, 0.0, 1.0, 0.0, 1.0)
    dots = [point for course in picture.after for point in _joined(course, wide)]
    drawn = draw(frame, dots, _rings(picture, wide), plain)
    edge = "|" if plain else "│"
    scale = [f"{picture.top:.2g}", *[""] * (rows - 2), "0"]
    lines = [f"{word:>{_GUTTER - 2}} {edge}{line}".rstrip() for word, line in zip(scale, drawn, strict=True)]
    return Chart((f"level, {picture.unit}", *lines, _names(picture, wide)), (LEGEND, picture.says))


def _joined(course: tuple[Point, ...], wide: int) -> list[Point]:
    """The points of a course with more between neighbours, so that a line is seen."""
    found: list[Point] = list(course)
    for (x0, y0), (x1, y1) in pairwise(course):
        count = int(abs(x1 - x0) * wide * 3)
        if abs(x1 - x0) < 0.1:
            found += [
                (x0 + (x1 - x0) * n / (count + 1), y0 + (y1 - y0) * n / (count + 1))
                for n in range(1, count + 1)
            ]
    return found


def _rings(picture: SpinPicture, wide: int) -> list[Mark]:
    """A ring each few columns along the courses of before."""
    found: dict[int, Mark] = {}
    for course in picture.before:
        for x, y in course:
            found.setdefault(int(x * wide) // _EVERY, Mark((x, y), "o"))
    return list(found.values())


def _names(picture: SpinPicture, wide: int) -> str:
    cells = [" "] * (wide + 1)
    for part in picture.parts:
        first = round(part.start * wide)
        cells[first : first + len(part.name) + 1] = f"|{part.name}"
    return (" " * (_GUTTER - 1) + "".join(cells)).rstrip()
