"""The cases that a file holds, each written out: a variant has all that its base has, a row what its table has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from wizard.flow.model.case_form import OF_ITS_OWN, TABLES, USUAL, column_keys
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.problems import nearest

_OF_FILE = ("base", "columns", "rows")


@dataclass(frozen=True, slots=True)
class WholeCase:
    """One case written out. ``table`` is its [[case]] without base and rows.

    ``path`` leads to its own [[case]] or row in the file, ``places`` from a key path within ``table`` to where it is
    written. ``own`` are the key paths that stand in its own table or row, not in its base's.
    """

    table: dict[str, Any]
    path: Path
    places: Mapping[Path, Path] = field(default_factory=dict)
    own: frozenset[Path] = frozenset()

    @property
    def name(self) -> str:
        """Its id."""
        return str(self.table.get("id", ""))

    def at(self, keys: Path) -> Path:
        """Return the path in the file of what ``keys`` lead to in the table, whoever wrote it."""
        for size in range(len(keys), 0, -1):
            if keys[:size] in self.places:
                return (*self.places[keys[:size]], *keys[size:])
        return (*self.path, *keys)


@dataclass(frozen=True, slots=True)
class Misfit:
    """What can't be written out: where it stands in the file, what to say, and whether its key is meant."""

    path: Path
    text: str
    rule: str
    key: bool = False


@dataclass(slots=True)
class CaseSet:
    """The cases of one file in their order, and what could not be written out."""

    cases: list[WholeCase] = field(default_factory=list)
    misfits: list[Misfit] = field(default_factory=list)
    _known: dict[str, WholeCase] = field(default_factory=dict)

    def add(self, head: dict[str, Any], path: Path) -> None:
        """Add the case of one [[case]] table, or those of its rows."""
        base = head.get("base", "")
        if base and base not in self._known:
            message = f'base "{base}" is not a case further up in this file.{nearest(base, self._known)}'
            self._tell(head, (*path, "base"), message, "reference")
            return
        whole = self._over(self._known[base] if base else WholeCase({}, path), _as_written(head, path))
        listed = [self._over(whole, row, shared=True) for row in self._rows(head, path)]
        for case in listed if "rows" in head or "columns" in head else [whole]:
            self.cases.append(case)
            self._known.setdefault(case.name, case)

    def _rows(self, head: dict[str, Any], path: Path) -> Iterator[WholeCase]:
        """Each row as a table of the keys that its columns name."""
        columns, rows = head.get("columns", []), head.get("rows", [])
        if not columns and not rows:
            return
        if "id" not in columns:
            message = '"id" is not among the columns, so the cases of the rows have no ids. Add it'
            self._tell(head, (*path, "columns"), message, "missing")
            return
        for number, row in enumerate(rows):
            if len(row) != len(columns):
                message = f"this row has {len(row)} cells, and there are {len(columns)} columns"
                self._tell(head, (*path, "rows", number), message, "answer")
                continue
            yield _row(str(head.get("id", "")), columns, row, (*path, "rows", number))

    def _over(self, base: WholeCase, own: WholeCase, *, shared: bool = False) -> WholeCase:
        """Return a variant: what is ``own`` on top of its base; all counts as its own where a table is shared."""
        table = {key: value for key, value in base.table.items() if shared or key != OF_ITS_OWN}
        places = {keys: place for keys, place in base.places.items() if keys[0] in table}
        for key, value in own.table.items():
            table[key] = {**table.get(key, {}), **value} if key in TABLES else value
        places.update(own.places)
        for keys in own.own:
            if keys[0] in ("answers", "after") and own.table[keys[0]][keys[1]] == USUAL:
                if keys[1] not in base.table.get(keys[0], {}):
                    message = f'"{keys[1]}" is not answered in the base, so there is nothing to take away'
                    self._tell(table, places[keys], message, "answer", key=True)
                del table[keys[0]][keys[1]], places[keys]
        mine = frozenset(keys for keys in own.own | (base.own if shared else frozenset()) if keys in places)
        return WholeCase(table, own.path, places, mine)

    def _tell(
        self, head: Mapping[str, Any], path: Path, message: str, rule: str, *, key: bool = False
    ) -> None:
        """Note what is wrong with a case at a place."""
        self.misfits.append(Misfit(path, f'case "{head.get("id", "")}": {message}'.rstrip("."), rule, key))


def expand(document: Mapping[str, Any]) -> CaseSet:
    """Return the cases of a document that has the form of a case file."""
    found = CaseSet()
    for number, head in enumerate(document.get("case", ())):
        found.add(head, ("case", number))
    return found


def _as_written(head: Mapping[str, Any], path: Path) -> WholeCase:
    """Return a [[case]] as it stands."""
    table = {key: value for key, value in head.items() if key not in _OF_FILE}
    leaves = [
        keys
        for key, value in table.items()
        for keys in ([(key, name) for name in value] if key in TABLES else [(key,)])
    ]
    places: dict[Path, Path] = {keys: (*path, *keys) for keys in leaves}
    return WholeCase(table, path, places, frozenset(places))


def _row(prefix: str, columns: list[str], row: list[Any], path: Path) -> WholeCase:
    """Return a row as a table; an empty cell is left out. Its id goes behind that of the table."""
    table: dict[str, Any] = {}
    places: dict[Path, Path] = {}
    for number, (column, cell) in enumerate(zip(columns, row, strict=True)):
        if cell == "":
            continue
        keys = column_keys(column)
        places[keys] = (*path, number)
        if len(keys) > 1:
            table.setdefault(keys[0], {})[keys[1]] = cell
        else:
            table[column] = f"{prefix}-{cell}" if column == "id" else cell
    return WholeCase(table, path, places, frozenset(places))
