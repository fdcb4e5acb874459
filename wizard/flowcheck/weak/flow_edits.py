"""Every edit of a flow, and of what it takes from the library, in the order of the files."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from wizard.domain.flow_vocabulary import ThingKind
from wizard.engine.safety.flow_rules import LEFT_IN_USE, LEFT_OUT_OF_USE
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.flow.rules.table_walk import tables
from wizard.flowcheck.weak.edge_moves import EdgeMoves
from wizard.flowcheck.weak.edit_kinds import EditKind
from wizard.flowcheck.weak.edit_touches import reach_bases, touches
from wizard.flowcheck.weak.edited_keys import TABLES, EditWay, KeyEdits, edits_of
from wizard.flowcheck.weak.flow_edit import FlowEdit
from wizard.flowcheck.weak.value_edits import ValueEdit, value_edits

_NAME = re.compile(r"[a-z0-9.-]+")
LONGEST = 40
"""Characters of a value that are said."""


def flow_edits(index: FlowIndex) -> tuple[FlowEdit, ...]:
    """Return every edit of a flow that has no errors of form. No two have one id."""
    return tuple(each_edit(index))


def each_edit(index: FlowIndex) -> Iterator[FlowEdit]:
    """Yield these edits one by one."""
    listed: Counter[str] = Counter()
    for edit in _EditFinder(index).edits():
        listed[edit.id] += 1
        again = listed[edit.id]
        yield edit if again == 1 else replace(edit, id=f"{edit.id} ({again})")


@dataclass
class _EditFinder:
    """The edits of one flow."""

    index: FlowIndex
    edges: EdgeMoves = field(init=False)

    def __post_init__(self) -> None:
        self.edges = EdgeMoves(self.index)
        flow = self.index.flow
        self._base = reach_bases(self.index)
        self._least = next((name for name, reach in flow.reaches.items() if not reach.needs), "")

    def edits(self) -> Iterator[FlowEdit]:
        for location, table in tables(self.index):
            if table in TABLES:
                for key, how in edits_of(table, location.table).items():
                    yield from self._of_key(location, key, how)

    def _of_key(self, location: TableLocation, key: str, how: KeyEdits) -> Iterator[FlowEdit]:
        value = location.table[key]
        for way in how.ways:
            nearer = self._nearer(value) if way is EditWay.NEARER else ""
            off = self.edges.off(location, key) if way is EditWay.EDGE else 0.0
            for edit in value_edits(way, value, nearer, off):
                yield self._edit(location, key, how, edit)

    def _nearer(self, reach: str) -> str:
        """The reach that this one comes from, or else one that needs nothing."""
        return self._base.get(reach) or self._least

    def _edit(self, location: TableLocation, key: str, how: KeyEdits, edit: ValueEdit) -> FlowEdit:
        path = (*location.path, key, *edit.below)
        keys = (*location.path, key) if edit.alone else path
        document = self.index.source.sound[location.file]
        name = f"{location.file}: {'.'.join(_names(document, path))} {edit.change}"
        line, _ = self.index.source.positions[location.file].of(path)
        return FlowEdit(
            id=name,
            kind=self._kind(location, how.kind, key, edit.below),
            change=edit.change,
            file=location.file,
            line=line,
            keys=keys,
            value=edit.value,
            says=_says(location, key, edit),
            touches=touches(self.index, location, keys),
        )

    def _kind(self, location: TableLocation, kind: EditKind, key: str, below: Path) -> EditKind:
        """A need of people, and of how a machine is left, are kinds of their own; who is unable and goes on takes but
        another way, and who stops is kept safe.
        """
        if kind is EditKind.UNABLE:
            return kind if "stop" in location.table[key] else EditKind.BRANCH
        if kind is not EditKind.NEED:
            return kind
        if location.path[:1] == (ThingKind.REACH,) and location.table["id"] in (LEFT_IN_USE, LEFT_OUT_OF_USE):
            return EditKind.OWED
        condition = self.index.flow.conditions.get(str(below[0])) if below else None
        return EditKind.PEOPLE if condition is not None and condition.passing else kind


def _names(values: Any, path: Path) -> Iterator[str]:
    """The parts of a path by the ids of what they lead to, where that has one, and by numbers from 1 where not."""
    for part in path:
        values = values[part]
        if isinstance(part, int):
            known = values.get("id", values.get("verdict")) if isinstance(values, dict) else values
            yield known if isinstance(known, str) and _NAME.fullmatch(known) else str(part + 1)
        else:
            yield part


def _says(location: TableLocation, key: str, edit: ValueEdit) -> str:
    value = location.table[key]
    for part in edit.below:
        value = value[part]
    names = " ".join((key, *(str(part) for part in edit.below if isinstance(part, str))))
    shown = _shown(value)
    label = location.label or flow_files.MAIN.removesuffix(".toml")
    becomes = "" if edit.value is None else f" to {_shown(edit.value)}"
    return f"{label}: {names} {shown} {edit.change}{becomes}"


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        value = value.get("word", value.get("id", ", ".join(map(str, value))))
    listed = value if isinstance(value, list) else [value]
    text = " or ".join(f"{one:g}" if isinstance(one, float) else str(one) for one in listed)
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."
