"""From the frozen model back to the plain values of a TOML file, by its declarations; the reverse of ``decode``.

What is as it would be if it were left out is left out. Numbers stand in the unit that is named beside them.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Mapping
from dataclasses import is_dataclass
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin

from wizard.domain.references import END, REFERENCES
from wizard.domain.vocabulary import StepKind
from wizard.flow.declaring.declaration_fields import (
    KeyField,
    Quantity,
    ValueCodec,
    first,
    keys_of,
    kind_key,
    split,
)
from wizard.flow.model import Inspection
from wizard.flow.model.files import InspectionFile
from wizard.flow.model.steps import LOOK
from wizard.measure.quantities.units import from_si, span_from_si

Table = dict[str, Any]
Around = Mapping[str, Any]


def encode(thing: Any) -> Table:
    """Return a table of a file: a declared dataclass as plain values."""
    return _table(thing, {})


def encode_inspection(inspection: Inspection) -> Table:
    """Return the file of an inspection with its steps; where one leads is left out if it is the next step."""
    document = encode(InspectionFile(inspection, inspection.steps))
    following = [*(step.id for step in inspection.steps[1:]), str(END)]
    for step, after in zip(document["step"], following, strict=True):
        leads = step.get("next")
        for answer in (*step.get("answer", ()), *step.get("on", ())):
            _leave_out(answer, "next", leads)
        _leave_out(step, "next", str(END) if inspection.procedure else after)
        if step["kind"] == StepKind.LOOK:
            _shorten(step)
    return document


def _shorten(step: Table) -> None:
    """Leave out of a look what it says by itself: its words, and an answer that brings nothing about."""
    for answer in step["answer"]:
        _leave_out(answer, "says", LOOK.get(answer["id"]))
    step["answer"] = [answer for answer in step["answer"] if len(answer) > 1]
    _leave_out(step, "answer", [])


def _leave_out(table: Table, key: str, value: Any) -> None:
    """Take a key out of a table if this is its value."""
    if key in table and table[key] == value:
        del table[key]


def _table(thing: Any, around: Around) -> Table:
    """Return a declared dataclass as a table."""
    inside: Around = ChainMap(_Attributes(thing), *([around] if around else []))  # type: ignore[arg-type]
    table: Table = {}
    for field in keys_of(_class(thing)):
        value = getattr(thing, field.attribute)
        if field.required or value != field.default:
            written = _value(value, field.kind, field.marks, inside)
            if not _empty(field, written):
                table[field.key] = written
    kinds = kind_key(_class(thing))
    first = {"id": table.pop("id")} if kinds and "id" in table else {}
    return {**first, "kind": kinds[0], **table} if kinds else table


class _Attributes(dict[str, Any]):
    """The attributes of a thing, asked for as keys."""

    def __init__(self, thing: Any) -> None:
        super().__init__({field.key: getattr(thing, field.attribute) for field in keys_of(_class(thing))})


def _empty(field: KeyField, written: Any) -> bool:
    """Return whether what is written is nothing, as it would be if it were left out. Where that is None, none at all
    says something else than nothing said.
    """
    nothing = written in ({}, [], "") and not isinstance(written, bool)
    return nothing and not field.required and not field.default and field.default is not None


def _value(value: Any, kind: Any, marks: tuple[Any, ...], around: Around) -> Any:
    """Return a value of this type with these annotations as a file has it."""
    codec, quantity = first(marks, ValueCodec), first(marks, Quantity)
    if codec is not None:
        return codec.encode(value, around)
    if get_origin(kind) in (Union, UnionType):
        inner = [k for k in get_args(kind) if k is not NoneType]
        return _value(value, *_merged(inner[0], marks), around) if len(inner) == 1 else _plain(value, around)
    if isinstance(value, Mapping):
        name, each = (split(k) for k in get_args(kind))
        return {str(_value(k, *name, around)): _value(v, *each, around) for k, v in value.items()}
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, tuple):
        each = split(get_args(kind)[0])
        return [_value(entry, *each, around) for entry in value]
    if quantity is not None:
        change = span_from_si if quantity.span else from_si
        return _short(change(value, around["unit"]))
    return _plain(value, around)


def _merged(kind: Any, marks: tuple[Any, ...]) -> tuple[Any, tuple[Any, ...]]:
    """Return a type with its own annotations and these."""
    inner, more = split(kind)
    return inner, (*marks, *more)


def _plain(value: Any, around: Around) -> Any:
    """Return a table, a word, a reference, or what is written as it is."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, REFERENCES):
        return str(value)
    if is_dataclass(value):
        return _table(value, around)
    return _short(value) if isinstance(value, float) else value


def _short(value: float) -> float | int:
    """Return a number in 12 figures, whole where it is."""
    short = float(f"{value:.12g}")
    return int(short) if short.is_integer() and abs(short) < 1e15 else short


def _class(thing: Any) -> type:
    """Return the declaration that a thing is made of."""
    found: type = type(thing)
    return found
