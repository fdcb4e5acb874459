"""Other numbers in a flow's files, their comments and layout as they are: the digits alone are replaced.

The TOML writer would lose comments, so each number is looked for by its place (`locate`) and what stands there is taken
out. What came of it is read again: nothing may differ but the numbers that were to change.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from wizard.errors import FlowError
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.toml_positions import Path, locate
from wizard.learning.curves.curve_numbers import BELOW, curve_name, variant_of
from wizard.learning.estimate import NumberId, NumberKind
from wizard.learning.numbered_flow import decimals

BOM = "\ufeff"
_NUMBER = re.compile(r"[+-]?\d[\d_]*(?:\.\d[\d_]*)?(?:[eE][+-]?\d[\d_]*)?(?![\w.])")


def edited(files: Mapping[str, bytes], numbers: Mapping[NumberId, float]) -> dict[str, bytes]:
    """Return the files that change, name to content. FlowError where a number is not to be found."""
    documents = {name: _document(content) for name, content in files.items() if _mine(name)}
    wanted: dict[str, dict[Path, tuple[NumberId, float]]] = {}
    for number, value in numbers.items():
        name, path = _place(documents, number)
        wanted.setdefault(name, {})[path] = (number, value)
    return {name: _file(name, files[name], documents[name], some) for name, some in wanted.items()}


def number_in(files: Mapping[str, bytes], number: NumberId) -> float:
    """Return a number as the files have it. FlowError where it is not to be found."""
    documents = {name: _document(content) for name, content in files.items() if _mine(name)}
    name, path = _place(documents, number)
    found: Any = documents[name]
    for part in path:
        found = found[part]
    return float(found)


def number_text(number: NumberId, value: float) -> str:
    """Return a number as it is written: its decimals, without those that say nothing."""
    places = decimals(number, value)
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if places else text


def _mine(name: str) -> bool:
    """True for the files of the flow's own that hold numbers; the library's are every flow's."""
    own = (flow_files.FINDINGS, flow_files.FAULTS, flow_files.LIMITS)
    return name in own or flow_files.is_inspection(name)


def _document(content: bytes) -> dict[str, Any]:
    return flow_files.parse(flow_files.decode(content))


def _place(documents: Mapping[str, dict[str, Any]], number: NumberId) -> tuple[str, Path]:
    """The file of a number, and its path there."""
    if number.kind is NumberKind.MINUTES:
        name = next(
            (n for n, d in documents.items() if d.get("inspection", {}).get("id") == number.thing), ""
        )
        path: Path = ("inspection", "minutes")
    elif number.kind is NumberKind.CURVE:
        name, path = flow_files.LIMITS, _curve_path(documents.get(flow_files.LIMITS, {}), number)
    else:
        share = number.kind is NumberKind.SHARE
        name, table = (flow_files.FAULTS, "fault") if share else (flow_files.FINDINGS, "finding")
        things = documents.get(name, {}).get(table, [])
        index = next((n for n, thing in enumerate(things) if thing.get("id") == number.thing), -1)
        last = {NumberKind.SHARE: ("share", number.of), NumberKind.WEIGHT: ("weights", number.of)}
        path = (table, index, *last.get(number.kind, ("leak",)))
        name = name if index >= 0 else ""
    if name not in documents or not path or not _there(documents[name], path):
        raise FlowError(f"{number}: the flow has no such number. Learn anew, then take.")
    return name, path


def _curve_path(document: Mapping[str, Any], number: NumberId) -> Path:
    """Where a number of a curve stands among the limits; empty where none is of that name."""
    for index, limit in enumerate(document.get("limit", [])):
        if curve_name(limit.get("id", ""), variant_of(limit.get("applies", {}))) != number.thing:
            continue
        band, _, severity = number.of.rpartition(BELOW)
        if not band:
            return ("limit", index, number.of)
        bands = [one.get("id") for one in limit.get("band", [])]
        if band in bands:
            return ("limit", index, "band", bands.index(band), "typical", severity)
    return ()


def _there(document: Any, path: Path) -> bool:
    """True where a number stands at a path."""
    for part in path:
        inside = isinstance(part, int) or (isinstance(document, dict) and part in document)
        if not inside:
            return False
        document = document[part]
    return isinstance(document, int | float) and not isinstance(document, bool)


def _file(
    name: str, content: bytes, document: dict[str, Any], wanted: Mapping[Path, tuple[NumberId, float]]
) -> bytes:
    """One file with its numbers replaced, from its end to its beginning so that no place moves."""
    text = content.decode("utf-8")
    mark, body = (BOM, text[1:]) if text.startswith(BOM) else ("", text)
    places = locate(flow_files.decode(content))
    lines, expected = body.split("\n"), deepcopy(document)
    for path, (number, value) in sorted(wanted.items(), key=lambda one: places.of(one[0]), reverse=True):
        row, column = places.of(path)
        line = lines[row - 1]
        found = _NUMBER.match(line, column - 1)
        if found is None:
            raise FlowError(f"{name}:{row}:{column}: {number} is not written as a plain number. Write it so.")
        lines[row - 1] = line[: found.start()] + number_text(number, value) + line[found.end() :]
        _set(expected, path, float(number_text(number, value)))
    new = (mark + "\n".join(lines)).encode("utf-8")
    if _document(new) != expected:
        raise FlowError(f"{name}: its numbers can't be replaced without changing more. Write them by hand.")
    return new


def _set(document: Any, path: Path, value: float) -> None:
    for part in path[:-1]:
        document = document[part]
    document[path[-1]] = value
