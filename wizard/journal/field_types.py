"""Readers and writers of the types that a field of an event may be declared with.

One declaration a thing: both are made of the annotation itself, resolved by ``typing``, once a class. A type is one
of int, float, str, bool, Any (what TOML can hold), a StrEnum, a frozen dataclass, ``tuple[X, ...]``, ``tuple[X, Y]``,
``frozenset`` of texts (written as a sorted list) and ``Mapping`` of texts to X.
"""

from __future__ import annotations

import reprlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import is_dataclass
from enum import StrEnum
from itertools import repeat
from math import isfinite
from types import NoneType, UnionType
from typing import Any, NamedTuple, Union, get_args, get_origin

DEEPEST = 32
"""How deep lists and tables may nest where a field takes anything."""

_LARGEST = 2**63

Convert = Callable[[Any], Any]


class Unfit(ValueError):
    """A value is not what its field says. ``path``: keys and places from the event down to it, innermost first."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.path: list[str | int] = []

    def at(self, key: str | int) -> Unfit:
        """Itself, with one more key on the way to the value."""
        self.path.append(key)
        return self

    def __str__(self) -> str:
        where = "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in reversed(self.path))
        return f"its key {where.removeprefix('.')!r} {self.args[0]}" if where else str(self.args[0])


def value_text(value: object) -> str:
    """A value for a message, cut short where it is long."""
    try:
        return reprlib.repr(value)
    except ValueError:  # Python writes no whole number of more than 4300 digits.
        return "a number too large to write out"


class Converter(NamedTuple):
    """How a field goes to TOML and comes back. Each raises Unfit for a value that the type does not hold."""

    read: Convert
    write: Convert


def converter(annotation: Any, of_class: Callable[[type[Any]], Converter]) -> Converter:
    """The converter of a resolved annotation; ``of_class`` gives that of a nested dataclass.

    TypeError for a type that no event can have.
    """
    if annotation in _PLAIN:
        return _PLAIN[annotation]
    if isinstance(annotation, type) and get_origin(annotation) is None:
        if issubclass(annotation, StrEnum):
            return _member(annotation)
        if is_dataclass(annotation):
            return of_class(annotation)
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin in (UnionType, Union) and len(inner) == 2 and NoneType in inner:
        return _optional(converter(next(part for part in inner if part is not NoneType), of_class))
    if origin is tuple and inner:
        parts = [converter(part, of_class) for part in inner if part is not Ellipsis]
        return _list(parts[0]) if inner[-1] is Ellipsis else _row(tuple(parts))
    if origin is frozenset and _is_text(inner[0]):
        return _set(converter(inner[0], of_class))
    if origin is Mapping and _is_text(inner[0]):
        return _table(converter(inner[0], of_class), converter(inner[1], of_class))
    raise TypeError(f"no journal holds a field of type {annotation!r}")


def _is_text(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, str)


def _text(value: Any) -> str:
    if type(value) is str:
        return value
    if not isinstance(value, str):
        raise Unfit(f"is {value_text(value)}, not text")
    return str(value)


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise Unfit(f"is {value_text(value)}, neither true nor false")
    return value


def _whole(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise Unfit(f"is {value_text(value)}, not a whole number")
    if not -_LARGEST <= value < _LARGEST:
        raise Unfit("is a whole number of more than 64 bits")
    return value


def _number(value: Any) -> float:
    if isinstance(value, float):
        if not isfinite(value):
            raise Unfit(f"is {value!r}, no finite number")
        return value if type(value) is float else float(value)
    if not isinstance(value, int) or isinstance(value, bool):
        raise Unfit(f"is {value_text(value)}, not a number")
    return float(_whole(value))


def _anything(value: Any, depth: int = 0) -> Any:
    """Whatever TOML holds except dates, as plain lists and tables."""
    simple = _SIMPLE.get(type(value))
    if simple is not None:
        return simple(value)
    if depth > DEEPEST:
        raise Unfit(f"nests more than {DEEPEST} deep")
    if isinstance(value, Mapping):
        return {_text(key): _anything(item, depth + 1) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        # A recording's points are a thousand numbers: these need no call each.
        return [v if type(v) is float and isfinite(v) else _anything(v, depth + 1) for v in value]
    if isinstance(value, str):
        return _text(value)
    raise Unfit(f"is {value_text(value)}, neither text, number, list nor table")


_SIMPLE: Mapping[type[Any], Convert] = {str: _text, bool: _truth, int: _whole, float: _number}

_PLAIN: Mapping[Any, Converter] = {
    Any: Converter(_anything, _anything),
    **{kind: Converter(convert, convert) for kind, convert in _SIMPLE.items()},
}


def _member(kind: type[StrEnum]) -> Converter:
    members = {str(member): member for member in kind}

    def read(value: Any) -> StrEnum:
        found = members.get(value) if isinstance(value, str) else None
        if found is None:
            raise Unfit(f"is {value_text(value)}, none of {', '.join(members)}")
        return found

    return Converter(read, lambda value: read(value).value)


def _optional(kind: Converter) -> Converter:
    """A value or None. TOML has no none: a field that is None stands at its default, and so is left out."""

    def write(value: Any) -> Any:
        if value is None:
            raise Unfit("is none, and stands at no default")
        return kind.write(value)

    return Converter(kind.read, write)


def _each(converts: Iterable[Convert], values: Iterable[Any]) -> list[Any]:
    """Every item converted; an Unfit says which one it was."""
    made: list[Any] = []
    try:
        for convert, value in zip(converts, values, strict=False):
            made.append(convert(value))
    except Unfit as problem:
        raise problem.at(len(made)) from None
    return made


def _is(kind: type, value: Any, says: str) -> Any:
    if not isinstance(value, kind):
        raise Unfit(f"is {value_text(value)}, not {says}")
    return value


def _list(item: Converter) -> Converter:
    return Converter(
        lambda value: tuple(_each(repeat(item.read), _is(list, value, "a list"))),
        lambda value: _each(repeat(item.write), _is(tuple, value, "a tuple")),
    )


def _row(items: tuple[Converter, ...]) -> Converter:
    """A tuple of a fixed length, each place of its own type."""

    def convert(value: Any, converts: tuple[Convert, ...]) -> list[Any]:
        if len(value) != len(converts):
            raise Unfit(f"holds {len(value)} values, not {len(converts)}")
        return _each(converts, value)

    reads, writes = tuple(i.read for i in items), tuple(i.write for i in items)
    return Converter(
        lambda value: tuple(convert(_is(list, value, "a list"), reads)),
        lambda value: convert(_is(tuple, value, "a tuple"), writes),
    )


def _set(item: Converter) -> Converter:
    def read(value: Any) -> frozenset[Any]:
        values = _each(repeat(item.read), _is(list, value, "a list"))
        found = frozenset(values)
        if len(found) != len(values):
            raise Unfit("names one thing twice")
        return found

    def write(value: Any) -> list[Any]:
        return sorted(_each(repeat(item.write), _is(frozenset, value, "a frozenset")))

    return Converter(read, write)


def _table(key: Converter, item: Converter) -> Converter:
    def convert(value: Any, key: Convert, item: Convert) -> dict[Any, Any]:
        made = {}
        for name, content in _is(Mapping, value, "a table").items():
            try:
                made[key(name)] = item(content)
            except Unfit as problem:
                raise problem.at(str(name)) from None
        return made

    return Converter(
        lambda value: convert(value, key.read, item.read), lambda value: convert(value, key.write, item.write)
    )
