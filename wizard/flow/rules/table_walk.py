"""Every table of the files with its declaration, and every name in them that refers to something declared."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin

from wizard.domain.flow_vocabulary import FileKind, ThingKind
from wizard.domain.references import Target
from wizard.flow.declaring.declaration_fields import (
    KeyField,
    Refers,
    below,
    element,
    first,
    keys_of,
    split,
    tables_of,
)
from wizard.flow.model.file_kinds import FILES
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.rules.rule_context import FlowIndex, TableLocation


@dataclass(frozen=True, slots=True)
class Mention:
    """A name that stands at ``keys`` of a table, and the kind of thing it is of. ``key``: it is a key there.

    ``value``: the value of a condition that ``name`` is the id of; empty where no value is named.
    """

    location: TableLocation
    keys: Path
    kind: ThingKind
    name: str
    key: bool = False
    value: str = ""


def tables(index: FlowIndex) -> Iterator[tuple[TableLocation, type]]:
    """Yield every table of the files that are declared, cases left out, each with its declaration.

    They are gathered once: several rules go through them.
    """
    if not index.walked:
        for file, document in index.source.sound.items():
            kind = index.source.kinds.get(file)
            declared = FILES.get(kind) if kind is not None else None
            if declared is not None and kind not in (FileKind.CASE, FileKind.WEAK):
                index.walked.extend(_below(TableLocation(file, (), "", document), declared))
    return iter(index.walked)


def _below(location: TableLocation, table: type) -> Iterator[tuple[TableLocation, type]]:
    """Yield a table and those in it."""
    yield location, table
    for key, kind in _inner(table):
        value = location.table.get(key)
        if isinstance(value, list):
            for inner in location.below(key):
                yield from _known(inner, kind)
        elif isinstance(value, dict):
            label = location.label or (f'{key} "{value["id"]}"' if "id" in value else key)
            yield from _known(TableLocation(location.file, (*location.path, key), label, value), kind)


@cache
def _inner(table: type) -> tuple[tuple[str, Any], ...]:
    """Return the keys of a table that hold tables, each with the type of one."""
    found = ((field.key, element(field.kind)) for field in keys_of(table))
    return tuple((key, kind) for key, kind in found if tables_of(kind))


def _known(location: TableLocation, kind: Any) -> Iterator[tuple[TableLocation, type]]:
    """Yield a table whose declaration its type, or its own kind, tells."""
    table = below(kind, location.table)
    if table is not None:
        yield from _below(location, table)


def mentions(index: FlowIndex) -> Iterator[Mention]:
    """Yield every name that the files refer to something by."""
    for location, table in tables(index):
        for field in _referring(table):
            if field.key in location.table:
                yield from _of(location, (field.key,), field.kind, field.marks, location.table[field.key])


@cache
def _referring(table: type) -> tuple[KeyField, ...]:
    """Return the keys of a table whose values name something that is declared."""
    return tuple(field for field in keys_of(table) if _refers(field.kind, field.marks))


def _refers(kind: Any, marks: tuple[Any, ...]) -> bool:
    """Return whether values of a type name something that is declared."""
    if first(marks, Refers) is not None:
        return True
    if tables_of(kind):
        return False
    return any(_refers(*split(inner)) for inner in get_args(kind) if inner is not NoneType)


def _of(
    location: TableLocation, keys: Path, kind: Any, marks: tuple[Any, ...], value: Any
) -> Iterator[Mention]:
    """Yield the names in a value of this type with these annotations."""
    refers = first(marks, Refers)
    origin = get_origin(kind)
    if refers is not None:
        yield from _named(location, keys, refers.kind, value)
    elif origin in (Union, UnionType):
        inner = [k for k in get_args(kind) if k is not NoneType]
        if len(inner) == 1:
            yield from _of(location, keys, *split(inner[0]), value)
    elif isinstance(value, list):
        each = split(element(kind))
        for place, entry in enumerate(value):
            yield from _of(location, (*keys, place), *each, entry)
    elif isinstance(value, dict) and origin is not None:
        name, each = split(get_args(kind)[0]), split(get_args(kind)[1])
        for key, entry in value.items():
            for mention in _of(location, (*keys, key), *name, key):
                yield Mention(location, mention.keys, mention.kind, mention.name, key=True)
            yield from _of(location, (*keys, key), *each, entry)


def _named(location: TableLocation, keys: Path, kind: ThingKind, value: Any) -> Iterator[Mention]:
    """Yield what a value names: one thing, or the conditions of a table and some of their values."""
    if isinstance(value, str):
        if value and kind is ThingKind.TARGET:
            kind = ThingKind.STEP if Target.parse(value).ref else ThingKind.INSPECTION
        if value:
            yield Mention(location, keys, kind, value)
        return
    for condition, values in value.items():
        yield Mention(location, (*keys, condition), kind, condition, key=True)
        for place, each in enumerate(values):
            yield Mention(location, (*keys, condition, place), ThingKind.VALUE, condition, value=each)
