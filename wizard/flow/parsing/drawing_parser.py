"""Read a drawing: a picture in box-drawing characters, the same in ASCII, and the cells of its named regions."""

from __future__ import annotations

import re
from collections.abc import Collection

from wizard.flow.model import Drawing

ROWS, COLUMNS = 16, 36
PARTS = ("drawing", "plain", "regions", "names")
OPTIONAL = ("reaches", "applies", "instead")
BLANK = " ."


class DrawingError(ValueError):
    """A drawing can't be read. ``line`` is where (from 1), the text says what and how to fix it."""

    def __init__(self, line: int, text: str) -> None:
        super().__init__(text)
        self.line = line


def parse(drawing_id: str, text: str) -> Drawing:
    """Return the drawing in ``text``; DrawingError with its line if it isn't one."""
    parts = _split(text)
    rows = _picture(parts, "drawing")
    plain = _picture(parts, "plain")
    marks = _picture(parts, "regions")
    start = parts["plain"][0]
    if len(plain) != len(rows):
        raise DrawingError(
            start, f'"plain" has {len(plain)} rows and "drawing" has {len(rows)}. Make them the same'
        )
    for number, row in enumerate(plain, start + 1):
        if not row.isascii():
            raise DrawingError(number, '"plain" may only hold ASCII characters')
    if len(marks) > len(rows):
        raise DrawingError(
            parts["regions"][0], f'"regions" has {len(marks)} rows, the drawing only {len(rows)}'
        )
    regions = _regions(parts, marks, max(map(len, rows)))
    instead = tuple(line.strip() for line in parts.get("instead", (0, []))[1] if line.strip())
    return Drawing(drawing_id, rows, plain, regions, _reaches(parts, regions), _applies(parts), instead)


def _split(text: str) -> dict[str, tuple[int, list[str]]]:
    """Return part name -> (line of its heading, its lines)."""
    parts: dict[str, tuple[int, list[str]]] = {}
    current: list[str] | None = None
    for number, line in enumerate(text.splitlines(), 1):
        if line.startswith("== "):
            name = line[3:].strip()
            if name not in (*PARTS, *OPTIONAL) or name in parts:
                raise DrawingError(
                    number,
                    f'"{line.strip()}" is not a part. Write == {", == ".join((*PARTS, *OPTIONAL))}, once each',
                )
            current = []
            parts[name] = (number, current)
        elif current is not None:
            current.append(line.rstrip())
        elif line.strip():
            raise DrawingError(number, "a drawing begins with the line == drawing")
    for name in PARTS:
        if name not in parts:
            raise DrawingError(max(1, len(text.splitlines())), f"the part == {name} is missing")
    return parts


def _picture(parts: dict[str, tuple[int, list[str]]], name: str) -> tuple[str, ...]:
    """Return the rows of one part, without blank rows at its end, once they are known to fit."""
    start, lines = parts[name]
    rows = list(lines)
    while rows and not rows[-1]:
        rows.pop()
    if not rows:
        raise DrawingError(start, f"the part == {name} is empty")
    if len(rows) > ROWS:
        raise DrawingError(start + ROWS + 1, f"a drawing has at most {ROWS} rows, this has {len(rows)}")
    for number, row in enumerate(rows, start + 1):
        if len(row) > COLUMNS:
            raise DrawingError(number, f"a drawing has at most {COLUMNS} columns, this row has {len(row)}")
        if not row.isprintable():
            raise DrawingError(number, "only printable characters here: use spaces, not tabs")
    return tuple(rows)


def _regions(
    parts: dict[str, tuple[int, list[str]]], marks: tuple[str, ...], width: int
) -> dict[str, frozenset[tuple[int, int]]]:
    """Return region name -> its cells (row, column)."""
    names = _names(parts["names"])
    cells: dict[str, set[tuple[int, int]]] = {name: set() for name in names.values()}
    start = parts["regions"][0]
    for row, line in enumerate(marks):
        for column, mark in enumerate(line):
            if mark in BLANK:
                continue
            if mark not in names:
                raise DrawingError(
                    start + row + 1, f'"{mark}" marks a region with no name: add {mark} = name'
                )
            if column >= width:
                raise DrawingError(start + row + 1, "this region reaches beyond the drawing")
            cells[names[mark]].add((row, column))
    for name, found in cells.items():
        if not found:
            raise DrawingError(parts["names"][0], f'region "{name}" has no cells under == regions')
    return {name: frozenset(found) for name, found in cells.items()}


def _names(part: tuple[int, list[str]]) -> dict[str, str]:
    """Return mark -> region name from lines such as ``d = dampers``."""
    start, lines = part
    names: dict[str, str] = {}
    for number, line in enumerate(lines, start + 1):
        if not line.strip():
            continue
        mark, equals, name = (piece.strip() for piece in line.partition("="))
        if not equals or len(mark) != 1 or mark in BLANK or not name:
            raise DrawingError(number, f'"{line.strip()}" is not a name. Write one letter, then = and a name')
        if mark in names or name in names.values():
            raise DrawingError(number, f'"{line.strip()}" is there twice. One mark, one name')
        names[mark] = name
    return names


def _reaches(parts: dict[str, tuple[int, list[str]]], regions: Collection[str]) -> dict[str, str]:
    """Return region name -> the least reach of hands that go to it, from lines such as ``motor = inside``."""
    start, lines = parts.get("reaches", (0, []))
    reaches: dict[str, str] = {}
    for number, line in enumerate(lines, start + 1):
        if not line.strip():
            continue
        region, equals, reach = (piece.strip() for piece in line.partition("="))
        if not equals or region not in regions or not reach:
            raise DrawingError(
                number, f'"{line.strip()}" is not a reach. Write the name of a region, then = and a reach'
            )
        reaches[region] = reach
    return reaches


def _applies(parts: dict[str, tuple[int, list[str]]]) -> dict[str, tuple[str, ...]]:
    """Return fact -> its values of the machines that look so, from lines such as ``kind = front-loader``."""
    start, lines = parts.get("applies", (0, []))
    applies: dict[str, tuple[str, ...]] = {}
    for number, line in enumerate(lines, start + 1):
        if not line.strip():
            continue
        fact, equals, text = (piece.strip() for piece in line.partition("="))
        values = tuple(value.strip() for value in text.split(","))
        if not equals or not fact or not all(values) or fact in applies:
            message = "is not for which machines. Write a fact once, then = and its values with commas"
            raise DrawingError(number, f'"{line.strip()}" {message}')
        applies[fact] = values
    return applies


def word_place(text: str, part: str, word: str) -> tuple[int, int]:
    """Return the line and column where a word stands in a part of a drawing; the part's heading where it doesn't."""
    start, lines = _split(text).get(part, (1, []))
    for number, line in enumerate(lines, start + 1):
        if found := re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", line):
            return number, found.start() + 1
    return start, 1


def reach_place(text: str, region: str) -> tuple[int, int]:
    """Return the line and column where the reach of a region stands in the text of a drawing."""
    start, lines = _split(text)["reaches"]
    for number, line in enumerate(lines, start + 1):
        name, _, reach = line.partition("=")
        if name.strip() == region:
            return number, len(line) - len(reach.lstrip()) + 1
    return start, 1
