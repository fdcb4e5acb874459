"""Where what a flow adapts of the library is written: in the library's files, or among the flow's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wizard.domain.references import StepRef
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.toml_positions import Path

Table = Mapping[str, Any]
Where = tuple[str, Path]
"""A file, and the path of something in it."""


def places(before: Mapping[str, Table], after: Mapping[str, Table]) -> dict[Where, Where]:
    """Return where tables and texts of an adapted library (``after``) are written, those that have moved in it since
    others were left out, and those that are the flow's own words; of all else, where it is.
    """
    found: dict[Where, Where] = {}
    if after is before:
        return found
    for file in filter(flow_files.of_library, after):
        for old, new in _moved(before[file], after[file]):
            found[file, new] = (file, old)
    for file, path, own in _worded(after):
        found[file, path] = (flow_files.WORDING, own)
    return found


def placed(moved: Mapping[Where, Where], file: str, path: Path) -> Where:
    """Return where something is written that stands at ``path`` of an adapted file: by the nearest that has moved."""
    for count in range(len(path), 0, -1):
        if (there := moved.get((file, path[:count]))) is not None:
            return there[0], (*there[1], *path[count:])
    return file, path


def _moved(before: Table, after: Table) -> Iterator[tuple[Path, Path]]:
    """Yield the paths, before and after, of tables of lists, and of those in them, that may have another place."""
    for key in ("step", "stop"):
        known = _ids(before.get(key, ()))
        for new, table in enumerate(after.get(key, ())):
            old = known[table["id"]]
            yield (key, old), (key, new)
            answers = _ids(before[key][old].get("answer", ()))
            for place, answer in enumerate(table.get("answer", ())):
                yield (key, old, "answer", answers[answer["id"]]), (key, new, "answer", place)


def _worded(after: Mapping[str, Table]) -> Iterator[tuple[str, Path, Path]]:
    """Yield the texts in a flow's own words: the library's file, the path there, and that of the words."""
    words = after.get(flow_files.WORDING, {})
    machine = after[flow_files.MACHINE]
    heads = {
        table.get("inspection", {}).get("id", ""): file
        for file, table in after.items()
        if "inspection" in table
    }
    for key in ("condition", "reach", "stop"):
        known = _ids(machine.get(key, ()))
        for n, own in enumerate(words.get(key, ())):
            if own["id"] in known:
                yield from _texts(flow_files.MACHINE, (key, known[own["id"]]), (key, n), own)
    for n, own in enumerate(words.get("procedure", ())):
        if own["id"] in heads:
            yield from _texts(heads[own["id"]], ("inspection",), ("procedure", n), own)
    for n, own in enumerate(words.get("step", ())):
        ref = StepRef.parse(own["id"])
        file = heads.get(ref.inspection, "")
        steps = after[file].get("step", ()) if file else ()
        known = _ids(steps)
        if ref.step in known:
            at: Path = ("step", known[ref.step])
            yield from _texts(file, at, ("step", n), own)
            answers = _ids(steps[known[ref.step]].get("answer", ()))
            for name in own.get("answer", {}):
                if name in answers:
                    says = (*at, "answer", answers[name], "says")
                    yield file, says, ("step", n, "answer", name)


def _texts(file: str, at: Path, own_at: Path, own: Table) -> Iterator[tuple[str, Path, Path]]:
    """Yield each text of a table of words but its answers."""
    for key in own:
        if key not in ("id", "answer"):
            yield file, (*at, key), (*own_at, key)


def _ids(tables: Sequence[Table]) -> dict[str, int]:
    """Return the places of tables in their list by their ids."""
    return {str(table.get("id", "")): place for place, table in enumerate(tables)}
