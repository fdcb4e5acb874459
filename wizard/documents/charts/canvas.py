"""Drawing with dots: eight to a character (Unicode braille), or one where only ASCII can be shown.

A character is about twice as high as it is wide, so with two columns and four rows of dots a dot is square and a
circle is round.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

ACROSS, DOWN = 2, 4
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_FIRST = 0x2800
DOT = "."

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlotFrame:
    """What is drawn on: ``columns`` by ``rows`` characters, for x from left to right and y from low to high."""

    columns: int
    rows: int
    left: float
    right: float
    low: float
    high: float

    def dot(self, point: Point) -> tuple[int, int]:
        """Column and row of the dot at a point, counted from the top left; it may lie outside."""
        across = (point[0] - self.left) / (self.right - self.left) * (self.columns * ACROSS - 1)
        down = (self.high - point[1]) / (self.high - self.low) * (self.rows * DOWN - 1)
        return round(across), round(down)

    def cell(self, point: Point) -> tuple[int, int]:
        """Column and row of the character at a point."""
        across, down = self.dot(point)
        return across // ACROSS, down // DOWN


@dataclass(frozen=True, slots=True)
class Mark:
    """A text at a place, over the dots: its first character stands at the point, or its middle if ``centred``."""

    at: Point
    text: str
    centred: bool = False


def draw(
    frame: PlotFrame, dots: Iterable[Point], marks: Sequence[Mark] = (), plain: bool = False
) -> tuple[str, ...]:
    """The lines of a picture: dots, and marks over them. What lies outside is left out."""
    bits = [[0] * frame.columns for _ in range(frame.rows)]
    for point in dots:
        across, down = frame.dot(point)
        column, row = across // ACROSS, down // DOWN
        if 0 <= column < frame.columns and 0 <= row < frame.rows:
            bits[row][column] |= _BITS[down % DOWN][across % ACROSS]
    cells = [[_character(b, plain) for b in row] for row in bits]
    for mark in marks:
        _write(cells, frame, mark)
    return tuple("".join(row).rstrip() for row in cells)


def _character(bits: int, plain: bool) -> str:
    if not bits:
        return " "
    return DOT if plain else chr(_FIRST + bits)


def _write(cells: list[list[str]], frame: PlotFrame, mark: Mark) -> None:
    column, row = frame.cell(mark.at)
    column -= len(mark.text) // 2 if mark.centred else 0
    if not 0 <= row < frame.rows:
        return
    for offset, character in enumerate(mark.text):
        if 0 <= column + offset < frame.columns:
            cells[row][column + offset] = character


def line(start: Point, end: Point, steps: int = 60) -> list[Point]:
    """Points on a straight line."""
    return [
        (start[0] + (end[0] - start[0]) * n / steps, start[1] + (end[1] - start[1]) * n / steps)
        for n in range(steps + 1)
    ]


def clockwise(angle: float, radius: float) -> Point:
    """The point at an angle clockwise from the top."""
    return radius * math.sin(angle), radius * math.cos(angle)
