"""Whether a file has the form that its declarations ask, and no more: yes, or to be looked at closely.

A sound file is told by this alone, without pydantic and its models, which take as long to make as everything else
takes to read. Where the answer is no, they say what is wrong, all of it. What is said yes to here, pydantic takes too
(held by tests over every shipped file and thousands of broken ones); a no that pydantic wouldn't say costs time only.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin

from wizard.domain.flow_vocabulary import FileKind
from wizard.domain.references import REFERENCES
from wizard.flow.declaring.declaration_fields import (
    Bounds,
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
from wizard.flow.form.value_checks import a_unit, one_line, some_lines
from wizard.flow.model.case_form import LARGEST
from wizard.flow.model.file_kinds import FILES

Test = Callable[[Any], bool]


def has_form(kind: FileKind, values: Any) -> bool:
    """True where ``values`` surely has the form of a file of this kind."""
    return _table(FILES[kind])(values)


@cache
def _table(table: type) -> Test:
    """Return what tells whether a value is a table of this class."""
    words = kind_key(table)
    tests: dict[str, Test] = {"kind": lambda value: value in words} if words else {}
    required = ["kind"] if words else []
    for field in keys_of(table):
        tests[field.key] = _value(field.kind, field.marks)
        if field.required:
            required.append(field.key)

    def test(values: Any) -> bool:
        if not isinstance(values, dict) or any(key not in values for key in required):
            return False
        return all((told := tests.get(key)) is not None and told(value) for key, value in values.items())

    return test


def _value(kind: Any, marks: tuple[Any, ...]) -> Test:
    """Return what tells whether a value is of this type with these annotations."""
    codec = first(marks, ValueCodec)
    if codec is not None and codec.check is not None:
        return _without_error(codec.check)
    if get_origin(kind) in (Union, UnionType):
        return _union(kind, marks)
    if is_dataclass(kind) and kind not in REFERENCES:
        return _table(kind)  # type: ignore[arg-type]
    if get_origin(kind) is not None:
        return _collection(kind, marks)
    if isinstance(kind, type) and issubclass(kind, Enum) and first(marks, OneOf) is None:
        words = frozenset(member.value for member in kind)
        return lambda value: isinstance(value, str) and value in words
    if kind is bool:
        return lambda value: isinstance(value, bool)
    return _number(kind, marks) if kind in (int, float) else _text(marks)


def _union(kind: Any, marks: tuple[Any, ...]) -> Test:
    """Return what tells a value that may be left out, one of several tables told apart by ``kind``, or a text."""
    kinds = [k for k in get_args(kind) if k is not NoneType]
    if len(kinds) == 1:
        inner, more = split(kinds[0])
        return _value(inner, (*marks, *more))
    if not all(is_dataclass(k) and hasattr(k, "kind") for k in kinds):
        return _text(marks)
    tables = {table.kind.value: _table(table) for table in kinds}

    def test(values: Any) -> bool:
        told = values.get("kind") if isinstance(values, dict) else None
        return isinstance(told, str) and told in tables and tables[told](values)

    return test


def _collection(kind: Any, marks: tuple[Any, ...]) -> Test:
    """Return what tells a list, or a table of names, of so many entries."""
    size = first(marks, SizeLimit) or SizeLimit()
    most = float("inf") if size.most is None else size.most
    inside = [_value(*split(each)) for each in get_args(kind) if each is not Ellipsis]
    each = inside[-1]
    if get_origin(kind) in (tuple, frozenset):
        return lambda value: (
            isinstance(value, list) and size.least <= len(value) <= most and all(each(v) for v in value)
        )
    name = inside[0]
    return lambda value: (
        isinstance(value, dict)
        and size.least <= len(value) <= most
        and all(name(k) and each(v) for k, v in value.items())
    )


def _number(kind: type, marks: tuple[Any, ...]) -> Test:
    """Return what tells a whole number, or any number, within its bounds."""
    within = [_within(mark) for mark in marks if isinstance(mark, Bounds)]
    kinds = (int,) if kind is int else (int, float)
    return lambda value: (
        isinstance(value, kinds)
        and not isinstance(value, bool)
        and -LARGEST <= value <= LARGEST
        and all(test(value) for test in within)
    )


def _within(bounds: Bounds) -> Test:
    """Return what tells a number within these bounds; never one that isn't a number at all."""
    low = -LARGEST if bounds.low is None else bounds.low
    high = LARGEST if bounds.high is None else bounds.high
    return lambda value: (
        (low < value if bounds.above else low <= value) and (value < high if bounds.below else value <= high)
    )


def _text(marks: tuple[Any, ...]) -> Test:
    """Return what tells a text with all that its annotations ask."""
    tests = [test for mark in marks for test in _of_text(mark)]
    return lambda value: isinstance(value, str) and all(test(value) for test in tests)


def _of_text(mark: Any) -> list[Test]:
    """Return what one annotation asks of a text."""
    if isinstance(mark, Pattern):
        match = re.compile(mark.regex).fullmatch
        return [lambda value: len(value) <= mark.most and match(value) is not None]
    if isinstance(mark, Prose):
        printable = _without_error(some_lines if mark.lines else one_line)
        return [lambda value: len(value) <= mark.most and printable(value)]
    if isinstance(mark, SizeLimit):
        return [lambda value: mark.least <= len(value) and (mark.most is None or len(value) <= mark.most)]
    if isinstance(mark, UnitName):
        return [_without_error(a_unit)]
    return [lambda value: value in mark.words()] if isinstance(mark, OneOf) else []


def _without_error(check: Callable[[Any], object]) -> Test:
    """Return whether this check of a value raises nothing."""

    def test(value: Any) -> bool:
        try:
            check(value)
        except ValueError:
            return False
        return True

    return test
