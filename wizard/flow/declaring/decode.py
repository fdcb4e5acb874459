"""From the plain values of a TOML file to the frozen model, by its declarations. What comes here is known to be
sound.

Numbers of readings, limits and tools become SI, words become members of their enumerations, references are parsed.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin

from wizard.domain.references import REFERENCES
from wizard.flow.declaring.declaration_fields import Quantity, UnitName, ValueCodec, first, keys_of, split
from wizard.measure.quantities.units import find, span_to_si, to_si

T = TypeVar("T")
Around = Mapping[str, Any]
Reader = Callable[[Any, Around], Any]


def decode(table: type[T], values: Mapping[str, Any]) -> T:
    """Return the model of a table of a file. KeyError, TypeError or ValueError where it isn't sound."""
    made: T = _table(cast(type, table))(values, {})
    return made


@cache
def _table(table: type) -> Reader:
    """Return what reads a table of this class."""
    plan = []
    for field in keys_of(table):
        codec = field.mark(ValueCodec)
        default = field.default if not field.required and codec and codec.fill else None
        plan.append((field.attribute, field.key, field.required, default, reader(field.kind, field.marks)))

    def read(values: Any, around: Around) -> Any:
        inside: Around = ChainMap(values, *([around] if around else []))  # type: ignore[arg-type]
        given = {}
        for attribute, key, required, default, convert in plan:
            if key in values:
                given[attribute] = convert(values[key], inside)
            elif required:
                raise KeyError(key)
            elif default is not None:
                given[attribute] = convert(default, inside)
        return table(**given)

    return read


def reader(kind: Any, marks: tuple[Any, ...]) -> Reader:
    """Return what reads a value of this type with these annotations."""
    codec = first(marks, ValueCodec)
    if codec is not None:
        return codec.decode
    if first(marks, UnitName) is not None:
        return lambda value, _: find(value).symbol
    if get_origin(kind) in (Union, UnionType):
        return _union(kind, marks)
    if is_dataclass(kind) and kind not in REFERENCES:
        return _table(kind)  # type: ignore[arg-type]
    if get_origin(kind) is not None:
        return _collection(kind)
    quantity = first(marks, Quantity)
    if quantity is not None:
        change = span_to_si if quantity.span else to_si
        return lambda value, around: change(value, around["unit"])
    return _plain(kind)


def _plain(kind: Any) -> Reader:
    """Return what reads a word, a reference, a number, a text or a truth."""
    if kind in REFERENCES:
        return lambda value, _: kind.parse(value)
    if kind is float or (isinstance(kind, type) and issubclass(kind, Enum)):
        return lambda value, _: kind(value)
    return lambda value, _: value


def _union(kind: Any, marks: tuple[Any, ...]) -> Reader:
    """Return what reads a value that may be left out, or one of several tables, told apart by their ``kind``."""
    kinds = [k for k in get_args(kind) if k is not NoneType]
    if len(kinds) == 1:
        inner, more = split(kinds[0])
        return reader(inner, (*marks, *more))
    tables = {table.kind.value: table for table in kinds}

    def read(values: Any, around: Around) -> Any:
        return _table(tables[values["kind"]])(values, around)

    return read


def _collection(kind: Any) -> Reader:
    """Return what reads a list or a table of values."""
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (tuple, frozenset):
        each = reader(*split(inside[0]))
        return lambda values, around: origin(each(v, around) for v in values)
    name, each = reader(*split(inside[0])), reader(*split(inside[1]))
    return lambda values, around: {name(k, around): each(v, around) for k, v in values.items()}
