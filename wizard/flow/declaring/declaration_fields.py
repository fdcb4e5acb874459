"""How the tables of a file are declared: a frozen dataclass a table, each key of it an annotated field.

Reading, writing, checking, the JSON Schema and the reference are all made from these declarations. Nothing here is
needed to run but the standard library: pydantic is imported only to check.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from enum import Enum
from functools import cache
from types import UnionType
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin, get_type_hints

from wizard.domain.flow_vocabulary import ThingKind

M = TypeVar("M")
SLUG = "[a-z0-9]+(-[a-z0-9]+)*"


@dataclass(frozen=True, slots=True)
class KeySpec:
    """A field that stands in the file. ``name`` is its key there, where that is not the field's own name."""

    says: str
    name: str = ""


PATTERNS: dict[str, Pattern] = {}
"""Every pattern by its regex, for the words of an error."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A text of this form. ``what`` says in an error what it isn't, ``like`` how to write it."""

    regex: str
    what: str
    like: str
    most: int = 100

    def __post_init__(self) -> None:
        """Make it known by its regex."""
        PATTERNS[self.regex] = self


@dataclass(frozen=True, slots=True)
class Prose:
    """A text for people: printable, not empty, at most ``most`` characters; of several lines where ``lines``."""

    most: int
    lines: bool = False


@dataclass(frozen=True, slots=True)
class Bounds:
    """A number from ``low`` to ``high``; ``above``: ``low`` itself is too little, ``below``: ``high`` too much."""

    low: float | None = None
    high: float | None = None
    above: bool = False
    below: bool = False


@dataclass(frozen=True, slots=True)
class SizeLimit:
    """A list or a table of ``least`` to ``most`` entries."""

    least: int = 0
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in the unit that its table names, or the table around it; SI in the model. ``span``: a difference."""

    span: bool = False


@dataclass(frozen=True, slots=True)
class UnitName:
    """A unit: its symbol, or another of its names in the file."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The room of a text on its screen: lines of so many columns."""

    lines: int
    columns: int


@dataclass(frozen=True, slots=True)
class Refers:
    """An id, or ids, of things of this kind that the flow declares."""

    kind: ThingKind


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of the words that a function returns. ``what`` says in an error what it isn't."""

    words: Callable[[], tuple[str, ...]]
    what: str


@dataclass(frozen=True, slots=True, eq=False)
class ValueCodec:
    """A value with its own form. ``decode`` and ``encode`` take the value and what stands around it.

    ``check`` returns the value or raises ValueError with what is wrong; ``schema`` is its JSON Schema, ``words`` what
    the reference says that it is. Without ``check`` the annotated type is checked as it stands. ``fill``: what is
    left out is decoded too, from the field's default.
    """

    decode: Callable[[Any, Mapping[str, Any]], Any]
    encode: Callable[[Any, Mapping[str, Any]], Any]
    check: Callable[[Any], Any] | None = None
    schema: Mapping[str, Any] | None = None
    words: str = ""
    fill: bool = False


@dataclass(frozen=True, slots=True)
class KeyField:
    """One key of a table: its name in the model and in the file, its type without annotations, and these."""

    attribute: str
    key: str
    says: str
    kind: Any
    marks: tuple[Any, ...]
    required: bool
    default: Any

    def mark(self, kind: type[M]) -> M | None:
        """The annotation of this class, or None."""
        return first(self.marks, kind)


def first(marks: tuple[Any, ...], kind: type[M]) -> M | None:
    """Return the first of the annotations that is of this class, or None."""
    return next((mark for mark in marks if isinstance(mark, kind)), None)


def split(kind: Any) -> tuple[Any, tuple[Any, ...]]:
    """Return a type and its annotations."""
    if get_origin(kind) is Annotated:
        inner, *marks = get_args(kind)
        return inner, tuple(marks)
    return kind, ()


@cache
def keys_of(table: type) -> tuple[KeyField, ...]:
    """Return the keys of a table that a dataclass declares: its fields with a Key, those that must be given first."""
    hints = get_type_hints(table, include_extras=True)
    found = []
    for field in fields(table):
        kind, marks = split(hints[field.name])
        key = first(marks, KeySpec)
        if key is None:
            continue
        required = field.default is MISSING and field.default_factory is MISSING
        default = field.default_factory() if field.default_factory is not MISSING else field.default
        name = key.name or field.name
        found.append(
            KeyField(field.name, name, key.says, kind, marks, required, None if required else default)
        )
    return tuple(sorted(found, key=lambda f: not f.required))


def kind_key(table: type) -> tuple[str, ...]:
    """Return the word that the key ``kind`` must hold in this table; nothing where tables aren't told apart by it."""
    kind = getattr(table, "kind", None)
    return (str(kind.value),) if isinstance(kind, Enum) else ()


def tables_of(kind: Any) -> tuple[type, ...]:
    """Return the declared tables that a value of this type may be: one, or several told apart by their ``kind``."""
    inner, _ = split(kind)
    kinds = get_args(inner) if get_origin(inner) in (Union, UnionType) else (inner,)
    return tuple(k for k in kinds if isinstance(k, type) and is_dataclass(k) and keys_of(k))


def element(kind: Any) -> Any:
    """Return the type of the entries of a list, or the type itself where it is no list."""
    inner, _ = split(kind)
    return get_args(inner)[0] if get_origin(inner) in (tuple, frozenset) else inner


def below(kind: Any, values: Any) -> type | None:
    """Return the declared table that these values of this type are; None where they are none."""
    tables = tables_of(kind)
    if len(tables) > 1:
        word = values.get("kind") if isinstance(values, Mapping) else None
        return next((t for t in tables if word in kind_key(t)), None)
    return tables[0] if tables else None
