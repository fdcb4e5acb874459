"""The numbers of a recording's text: which separator, which decimal mark, where the header ends, clock times."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.domain.counting import plural
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import SOURCE_LIMITS, Source
from wizard.measure.vibration.recording_units import TIMES, VALUES, unit_in

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_CLOCK = re.compile(r"(?:\S+[T ] ?)?(\d{1,2}):(\d\d):(\d\d(?:[.,]\d+)?) ?(?:Z|[+-]\d\d:?\d\d)?")
_DATE = re.compile(r"\d{1,4}[-./]\d{1,2}[-./]\d{1,4}")
_DAY = 86400.0
SEPARATORS = {"\t": "tabs", ";": "semicolons", ",": "commas", " ": "spaces"}
_LARGEST = 1e20
"""The largest number of a recording: times in ns since 1970 have 1.8e18."""

_SAID = 4096  # lines from one word on how far it is to the next
_LOOKED_AT = 60
"""Lines, from the end, that tell the separator."""


@dataclass(frozen=True, slots=True, eq=False)
class RecordingTable:
    """The numbers of a text, shape (lines, columns), with the ``header`` (a name a column, empty if none) and the
    ``lines`` that they stand on, counted from 1. ``clock``: the first column was clock times, now s. ``cut``: the
    last line was cut short and is left out.
    """

    header: tuple[str, ...]
    values: NDArray[np.float64]
    lines: tuple[int, ...]
    separator: str
    comma: bool
    clock: bool
    cut: bool


def decoded(data: bytes) -> str:
    """Return the text of a file: UTF-8 or UTF-16 by its mark, else UTF-8, else Latin-1. ValueError if it is none."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return data.decode("utf-16")
        except UnicodeDecodeError:
            raise ValueError(_BINARY) from None
    if b"\0" in data:
        raise ValueError(_BINARY)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


_BINARY = "this is no text. Export the recording as CSV, then name that file"


def table(text: str, going: Callable[[float], None] | None = None) -> RecordingTable:
    """Return the numbers of a text. ValueError that says where (line, column), what, and how to fix it.

    ``going`` is called now and then with the share that is done; what it raises ends the reading.
    """
    _bounded(text)
    lines = [(n, line.strip()) for n, line in enumerate(text.splitlines(), start=1)]
    lines = [(n, line) for n, line in lines if line and not line.lower().startswith("sep=")]
    if not lines:
        raise ValueError("it is empty. Record again, or name another file")
    separator, comma = _form(lines)
    rows = [
        (n, cells) for n, cells in zip((n for n, _ in lines), _split(lines, separator), strict=True) if cells
    ]
    first = next((i for i, (_, cells) in enumerate(rows) if _numeric(cells, comma)), None)
    if first is None:
        raise ValueError(
            "no line of it has a time and a number beside it. Export the recording as CSV with a time column"
        )
    wide = len(rows[first][1])
    body = rows[first:]
    cut = len(body) > 1 and len(body[-1][1]) < wide
    header = _header(rows[:first], wide)
    clock = bool(_CLOCK.fullmatch(body[0][1][0]))
    values = np.array(
        [
            _row(n, cells, header, wide, comma, clock)
            for n, cells in _counted(body[:-1] if cut else body, going)
        ]
    )
    if clock:
        values[:, 0] += _DAY * np.cumsum(np.diff(values[:, 0], prepend=values[0, 0]) < -_DAY / 2)
    return RecordingTable(
        header, values, tuple(n for n, _ in body)[: len(values)], SEPARATORS[separator], comma, clock, cut
    )


def _counted(
    body: list[tuple[int, list[str]]], going: Callable[[float], None] | None
) -> Iterator[tuple[int, list[str]]]:
    """Yield the lines, saying now and then how far it is."""
    for count, line in enumerate(body):
        if going and count % _SAID == 0:
            going(count / len(body))
        yield line


def _bounded(text: str) -> None:
    """ValueError for more lines, or a longer one, than a recording has."""
    most = SOURCE_LIMITS[Source.RECORDING]
    lines = text.splitlines()
    if len(lines) > most.values:
        raise ValueError(f"more than {most.values} lines. Cut out the part with the swings, or record less")
    for number, line in enumerate(lines, start=1):
        if len(line) > most.text:
            raise ValueError(
                f"line {number} has more than {most.text} characters, which no line of a recording has. "
                "Export it as CSV"
            )


def _form(lines: list[tuple[int, str]]) -> tuple[str, bool]:
    """Return separator and whether a comma is the decimal mark: those by which most lines near the end are
    numbers.
    """
    sample = lines[-_LOOKED_AT:-1] or lines
    best, most = (",", False), 0
    for separator in SEPARATORS:
        rows = list(_split(sample, separator))
        for comma in (False, True):
            count = sum(_numeric(cells, comma) for cells in rows)
            if count > most:
                best, most = (separator, comma), count
    return best


def _split(lines: Iterable[tuple[int, str]], separator: str) -> Iterator[list[str]]:
    """Yield the cells of each line; a date beside a clock time is one with it."""
    texts = (line for _, line in lines)
    if separator == " ":
        found: Iterable[list[str]] = (line.replace('"', "").split() for line in texts)
    else:
        found = (_quoted(line, separator) if '"' in line else line.split(separator) for line in texts)
    for raw in found:
        cells = [cell.strip() for cell in raw]
        while len(cells) > 1 and not cells[-1]:
            cells.pop()
        if len(cells) > 1 and _DATE.fullmatch(cells[0]) and _CLOCK.fullmatch(cells[1]):
            cells[:2] = [f"{cells[0]} {cells[1]}"]
        yield cells


def _quoted(line: str, separator: str) -> list[str]:
    """Return the cells of a line with quotes, which may hide a separator."""
    try:
        return next(csv.reader(io.StringIO(line), delimiter=separator), [])
    except csv.Error:  # no recording has a cell of more than 100,000 characters
        return [line]


def _numeric(cells: list[str], comma: bool) -> bool:
    """Return whether a line is a time and numbers."""
    return (
        len(cells) > 1
        and (bool(_CLOCK.fullmatch(cells[0])) or _number(cells[0], comma) is not None)
        and all(_number(cell, comma) is not None for cell in cells[1:])
    )


def _number(cell: str, comma: bool) -> float | None:
    if comma:
        if "." in cell:
            return None
        cell = cell.replace(",", ".")
    return float(cell) if _NUMBER.fullmatch(cell) else None


def _header(rows: list[tuple[int, list[str]]], wide: int) -> tuple[str, ...]:
    """Return a name a column from the last line before the numbers, with the units of their own line."""
    named = [cells for _, cells in rows if len(cells) == wide]
    if not named:
        return ("",) * wide
    named = [[harmless(cell) for cell in cells] for cells in named[-2:]]
    last = [cell.lstrip("#% ") for cell in named[-1]]
    units = [cell.strip("()[] ") for cell in last]
    known = sum(unit_in(f"({unit})") in {**TIMES, **VALUES} for unit in units)
    if len(named) > 1 and known > 1:  # of the time, and of a column
        return tuple(f"{name.lstrip('#% ')} ({unit})" for name, unit in zip(named[-2], units, strict=True))
    return tuple(last)


def _row(
    line: int, cells: list[str], header: tuple[str, ...], wide: int, comma: bool, clock: bool
) -> list[float]:
    """Return the numbers of a line; ValueError naming line and column."""
    if len(cells) != wide:
        raise ValueError(
            f"line {line} has {_columns(len(cells))}, the lines before it have {wide}. Mend that line, or take it out"
        )
    numbers = []
    for column, cell in enumerate(cells):
        number = _seconds(cell) if clock and column == 0 else _number(cell, comma)
        if number is None or not abs(number) <= _LARGEST:
            raise ValueError(f"{place(line, column, header)}: {_wrong(cell, clock and column == 0)}")
        numbers.append(number)
    return numbers


def _wrong(cell: str, clock: bool) -> str:
    if not cell:
        return "nothing stands there. Take that line out, or record again"
    wanted = "time of day" if clock else "number"
    return f'"{harmless(cell[:20])}" is no {wanted}. Take that line out, or record again'


def _seconds(cell: str) -> float | None:
    found = _CLOCK.fullmatch(cell)
    if found is None:
        return None
    hours, minutes, seconds = found.groups()
    return int(hours) * 3600.0 + int(minutes) * 60.0 + float(seconds.replace(",", "."))


def place(line: int, column: int, header: tuple[str, ...]) -> str:
    """Return 'line 7, column 2 (x)', both counted from 1."""
    name = header[column] if column < len(header) else ""
    return f"line {line}, column {column + 1}" + (f" ({name})" if name else "")


def _columns(count: int) -> str:
    return plural(count, "column")
