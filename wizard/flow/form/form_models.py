"""pydantic models made of the declared tables, to check the form of a file with every problem at once.

Imported only to check a file: running a checked flow needs none of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    create_model,
)

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
from wizard.flow.problems import nearest

_INFINITY = float("inf")
ANY_KIND = "[any]"


def model_of_kind(kind: FileKind) -> type[BaseModel]:
    """Return the pydantic model of a kind of file."""
    return model_of(FILES[kind])


class FormTable(BaseModel):
    """A TOML table: unknown keys are errors, and nothing is turned into another type.

    Its validator is built when a file is first checked by it: a table within others needs none of its own.
    """

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, defer_build=True)


@cache
def model_of(table: type) -> type[BaseModel]:
    """Return the pydantic model of a table."""
    found: dict[str, Any] = {}
    kinds = kind_key(table)
    if kinds:
        found["kind"] = (Literal[kinds], ...)
    for field in keys_of(table):
        kind = _checked(field.kind, field.marks)
        found[field.attribute] = (kind, Field(... if field.required else None, alias=field.key))
    made: type[BaseModel] = create_model(table.__name__, __base__=FormTable, **found)
    return made


def _checked(kind: Any, marks: tuple[Any, ...]) -> Any:
    """Return the type that pydantic checks for a type of the model with these annotations."""
    codec = first(marks, ValueCodec)
    if codec is not None and codec.check is not None:
        return Annotated[Any, BeforeValidator(codec.check)]
    if get_origin(kind) in (Union, UnionType):
        kinds = [k for k in get_args(kind) if k is not NoneType]
        if len(kinds) == 1:
            inner, more = split(kinds[0])
            return _checked(inner, (*marks, *more))
        return (
            _of_kinds(kinds)
            if all(is_dataclass(k) and hasattr(k, "kind") for k in kinds)
            else _marked(str, marks)
        )
    if is_dataclass(kind) and kind not in REFERENCES:
        return model_of(kind)  # type: ignore[arg-type]
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (tuple, frozenset):
        return _marked(list[_checked(*split(inside[0]))], marks)  # type: ignore[misc]
    if origin is not None:
        key, value = _checked(*split(inside[0])), _checked(*split(inside[1]))
        return _marked(dict[key, value], marks)  # type: ignore[valid-type]
    if isinstance(kind, type) and issubclass(kind, Enum) and first(marks, OneOf) is None:
        return Literal[tuple(member.value for member in kind)]
    plain = kind in (bool, int, float)
    return _marked(kind if plain else str, marks)


def _of_kinds(tables: list[Any]) -> Any:
    """Return the union of tables that are told apart by ``kind``; of another kind, or none, keys of all may stand."""
    made = [Annotated[model_of(t), Tag(_tag(t.kind.value))] for t in tables]
    kinds = tuple(t.kind.value for t in tables)
    word: Any = Literal[kinds]
    keys = dict.fromkeys(f.key for t in tables for f in keys_of(t))
    fields: dict[str, Any] = {f"key_{n}": (Any, Field(None, alias=key)) for n, key in enumerate(keys)}
    other: type[BaseModel] = create_model("AnyKind", __base__=FormTable, kind=(word, ...), **fields)
    made.append(Annotated[other, Tag(ANY_KIND)])

    def tag(value: Any) -> str:
        kind = value.get("kind") if isinstance(value, dict) else None
        return _tag(str(kind)) if kind in kinds else ANY_KIND

    return Annotated[Union[tuple(made)], Discriminator(tag)]  # noqa: UP007


def _tag(kind: str) -> str:
    """Return a tag that can't be a key of a file."""
    return f"[{kind}]"


def _marked(kind: Any, marks: tuple[Any, ...]) -> Any:
    """Return a type with what the annotations ask of it."""
    asked = [extra for mark in marks for extra in _asked(mark)]
    if kind is float:
        asked.insert(0, BeforeValidator(_number))
    return Annotated[(kind, *asked)] if asked else kind


def _asked(mark: Any) -> list[Any]:
    """Return what pydantic must ask for one annotation."""
    if isinstance(mark, Pattern):
        return [Field(pattern=mark.regex, max_length=mark.most)]
    if isinstance(mark, Prose):
        return [AfterValidator(some_lines if mark.lines else one_line), Field(max_length=mark.most)]
    if isinstance(mark, SizeLimit):
        return [Field(min_length=mark.least, max_length=mark.most)]
    if isinstance(mark, UnitName):
        return [AfterValidator(a_unit)]
    if isinstance(mark, OneOf):
        return [AfterValidator(_one_of(mark))]
    return [Field(**_bounds(mark))] if isinstance(mark, Bounds) and _bounds(mark) else []


def _bounds(mark: Bounds) -> Mapping[str, Any]:
    """Return the bounds of a number as pydantic names them."""
    low = {"gt" if mark.above else "ge": mark.low} if mark.low is not None else {}
    high = {"lt" if mark.below else "le": mark.high} if mark.high is not None else {}
    return {**low, **high}


def _one_of(mark: OneOf) -> Callable[[str], str]:
    """Return what lets only these words through."""

    def check(value: str) -> str:
        words = mark.words()
        if value not in words:
            there = nearest(value, words) or f" There are {', '.join(words)}"
            raise ValueError(f'"{value}" is not {mark.what}.{there}')
        return value

    return check


def _number(value: object) -> object:
    """Keep true and false out of numbers, and numbers within what a float can hold."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if value != value or value in (_INFINITY, -_INFINITY):
        raise ValueError("this must be a finite number, not inf or nan")
    if not -LARGEST <= value <= LARGEST:
        raise ValueError("this number is too large")
    return value
