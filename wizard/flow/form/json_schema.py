"""The JSON Schema of each kind of file, made of its declarations: an editor completes a flow from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import is_dataclass
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin

from wizard.domain.references import REFERENCES
from wizard.errors import UsageError
from wizard.flow.declaring.declaration_fields import (
    Bounds,
    KeyField,
    OneOf,
    Pattern,
    Prose,
    SizeLimit,
    UnitName,
    ValueCodec,
    first,
    keys_of,
    kind_key,
    split,
)
from wizard.flow.model.file_kinds import FILES
from wizard.flow.problems import nearest
from wizard.measure.quantities.unit_table import UNITS

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_PLAIN = {bool: "boolean", int: "integer", float: "number"}
Schema = dict[str, Any]


def json_schema(kind: str) -> Schema:
    """Return the JSON Schema (2020-12) of one kind of file; UsageError if there is no such kind."""
    known = next((each for each in FILES if each == kind), None)
    if known is None:
        raise UsageError(
            f'"{kind}" is not a kind of file. There are {", ".join(FILES)}.{nearest(kind, FILES)}'
        )
    tables: dict[str, Schema] = {}
    whole = _table(FILES[known], tables)
    return {"$schema": DIALECT, **whole, "$defs": tables}


def _table(table: type, tables: dict[str, Schema]) -> Schema:
    """Return the schema of a table, those of the tables in it noted in ``tables``."""
    kinds = kind_key(table)
    properties: dict[str, Schema] = {}
    if kinds:
        properties["kind"] = {"const": kinds[0], "description": "Its kind."}
    properties |= {field.key: _key(field, tables) for field in keys_of(table)}
    return {
        "title": table.__name__,
        "description": (table.__doc__ or "").strip(),
        "type": "object",
        "properties": properties,
        "required": [*(["kind"] if kinds else []), *(f.key for f in keys_of(table) if f.required)],
        "additionalProperties": False,
    }


def _key(field: KeyField, tables: dict[str, Schema]) -> Schema:
    """Return the schema of one key."""
    made = {"description": field.says, **_of(field.kind, field.marks, tables)}
    if isinstance(field.default, bool | int | float) and not field.required:
        made["default"] = field.default
    return made


def _of(kind: Any, marks: tuple[Any, ...], tables: dict[str, Schema]) -> Schema:
    """Return the schema of a type with these annotations."""
    codec = first(marks, ValueCodec)
    if codec is not None and codec.schema is not None:
        return dict(codec.schema)
    if get_origin(kind) in (Union, UnionType):
        return _union([k for k in get_args(kind) if k is not NoneType], marks, tables)
    if is_dataclass(kind) and kind not in REFERENCES:
        return _named(kind, tables)  # type: ignore[arg-type]
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (tuple, frozenset):
        return {"type": "array", "items": _of(*split(inside[0]), tables), **_size(marks, "Items")}
    if origin is not None:
        key, value = _of(*split(inside[0]), tables), _of(*split(inside[1]), tables)
        names = {"propertyNames": key} if "pattern" in key else {}
        return {"type": "object", "additionalProperties": value, **names, **_size(marks, "Properties")}
    if kind in _PLAIN:
        return {"type": _PLAIN[kind], **_bounds(first(marks, Bounds))}
    return _text(kind, marks)


def _union(kinds: list[Any], marks: tuple[Any, ...], tables: dict[str, Schema]) -> Schema:
    """Return the schema of a value that may be left out, or of one of several tables."""
    if len(kinds) == 1:
        inner, more = split(kinds[0])
        return _of(inner, (*marks, *more), tables)
    if all(kind_key(k) for k in kinds):
        return {"oneOf": [_named(k, tables) for k in kinds]}
    return _text(str, marks)


def _named(table: type, tables: dict[str, Schema]) -> Schema:
    """Return a reference to the schema of a table."""
    if table.__name__ not in tables:
        tables[table.__name__] = {}
        tables[table.__name__] = _table(table, tables)
    return {"$ref": f"#/$defs/{table.__name__}"}


def _text(kind: Any, marks: tuple[Any, ...]) -> Schema:
    """Return the schema of a text or a word."""
    pattern, prose, words = first(marks, Pattern), first(marks, Prose), first(marks, OneOf)
    if words is not None:
        return {"type": "string", "enum": list(words.words())}
    if first(marks, UnitName) is not None:
        return {"type": "string", "examples": [unit.symbol for unit in UNITS]}
    if isinstance(kind, type) and issubclass(kind, Enum):
        return {"type": "string", "enum": [member.value for member in kind]}
    if pattern is not None:
        return {"type": "string", "pattern": pattern.regex, "maxLength": pattern.most}
    return {"type": "string", **({"maxLength": prose.most} if prose else {})}


def _size(marks: tuple[Any, ...], what: str) -> Mapping[str, int]:
    """Return how many entries there may be."""
    size = first(marks, SizeLimit)
    least = {f"min{what}": size.least} if size and size.least else {}
    return {**least, **({f"max{what}": size.most} if size and size.most is not None else {})}


def _bounds(bounds: Bounds | None) -> Mapping[str, float]:
    """Return what a number may be."""
    if bounds is None:
        return {}
    low = {"exclusiveMinimum" if bounds.above else "minimum": bounds.low} if bounds.low is not None else {}
    high = {"exclusiveMaximum" if bounds.below else "maximum": bounds.high} if bounds.high is not None else {}
    return {**low, **high}
