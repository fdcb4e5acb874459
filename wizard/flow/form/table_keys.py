"""Which table stands at a place of a file, and which keys may stand in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args, get_origin

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.declaring.declaration_fields import below, keys_of, kind_key, split, tables_of
from wizard.flow.model.file_kinds import FILES

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class At:
    """The declared table at a place; None where any keys may stand, or where its kind is not said.

    ``others`` are those of other kinds that could stand there.
    """

    table: type | None
    others: tuple[type, ...] = ()

    @property
    def keys(self) -> list[str]:
        """The keys that may stand there; those of every kind where it isn't said which it is."""
        if self.table is not None:
            return keys_of_table(self.table)
        return list(dict.fromkeys(key for table in self.others for key in keys_of_table(table)))


def table_at(kind: FileKind, values: Any, path: Path) -> At:
    """Return the table at ``path`` in the values of a file of this kind."""
    here: Any = FILES[kind]
    for part in path:
        table = below(here, values)
        keys = {f.key: f.kind for f in keys_of(table)} if table is not None else {}
        here = keys.get(str(part)) if table is not None else _inside(here)
        values = _value(values, part)
    found = below(here, values)
    return At(found, tuple(t for t in tables_of(here) if t is not found))


def keys_of_table(table: type | None) -> list[str]:
    """Return the keys that may stand in a table."""
    if table is None:
        return []
    return [*(("kind",) if kind_key(table) else ()), *(field.key for field in keys_of(table))]


def _inside(kind: Any) -> Any:
    """Return the type of what is in a list or a table of this type."""
    inner, _ = split(kind)
    arguments = get_args(inner)
    if not arguments:
        return None
    return arguments[1] if get_origin(inner) not in (tuple, frozenset) else arguments[0]


def _value(values: Any, part: str | int) -> Any:
    """Return what stands at one part of a path, or None."""
    if isinstance(values, Mapping):
        return values.get(part)
    inside = isinstance(values, list) and isinstance(part, int) and part < len(values)
    return values[part] if inside else None
