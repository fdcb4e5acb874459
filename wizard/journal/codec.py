"""Events as tables for the journal and back, made of what their dataclasses declare.

An event class is a frozen dataclass with a ``kind``. A class is looked at once, when the first event of it is read or
written, so importing costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, Field, dataclass, fields
from typing import Any, ClassVar, Generic, Protocol, TypeVar, get_type_hints

from wizard.errors import JournalError
from wizard.journal.field_types import Convert, Converter, Unfit, converter, value_text


class Kind(Protocol):
    """What the classes of a codec have: a name for the journal, beside their fields."""

    kind: ClassVar[
        Any
    ]  # A text, or a member of a StrEnum of such: a protocol's variable takes no narrower type.
    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


E = TypeVar("E", bound=Kind)
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Place:
    """Where an event stands in a journal: number, wall time (UTC, ISO 8601), seconds since the one before."""

    sequence: int
    at: str
    since: float


COUNTER = "sequence"
"""The key under which an event's number stands in a journal, as ``Place`` has it."""
_PLACE = tuple(spec.name for spec in fields(Place))
_HEAD = frozenset({*_PLACE, "kind"})
_ABSENT = object()
_FORMS: dict[type[Any], _Form] = {}


@dataclass(frozen=True, slots=True)
class _Form:
    """A class as the journal sees it. ``write`` holds, a field: its name, how it is written, and its default."""

    make: Callable[..., Any]
    read: Mapping[str, Convert]
    needed: tuple[str, ...]
    write: tuple[tuple[str, Convert, Any], ...]


class Codec(Generic[E]):
    """Reads and writes the events of some classes, each by its ``kind``. ValueError if two have the same kind."""

    def __init__(self, classes: Iterable[type[E]]) -> None:
        classes = tuple(classes)
        self.kinds: Mapping[str, type[E]] = {str(cls.kind): cls for cls in classes}
        if len(self.kinds) != len(classes):
            raise ValueError("two classes of events are of the same kind")
        for cls in classes:
            if taken := _HEAD & {spec.name for spec in fields(cls)}:
                raise ValueError(
                    f"{cls.__name__}.{min(taken)}: that key is kept for the event's place and kind"
                )

    def write(self, event: E, place: Place) -> dict[str, Any]:
        """The event as a table for the journal. Fields that stand at their default are left out.

        ValueError names the event and the key that is not what its class declares.
        """
        try:
            return {**_written(place), "kind": str(event.kind), **_written(event)}
        except Unfit as problem:
            raise ValueError(f"An event of kind {event.kind!r} can't be written: {problem}.") from problem

    def read(self, table: Mapping[str, Any]) -> tuple[Place, E]:
        """The event of a journal's table, and its place.

        Raises JournalError naming the event when its kind or a key is unknown, missing or of the wrong type.
        """
        try:
            return self._read(table)
        except ValueError as problem:
            raise JournalError(
                f"Event {_name(table)} can't be read: {problem}. "
                "It was written by another version of the program, or altered."
            ) from problem

    def write_part(self, value: E) -> dict[str, Any]:
        """One of the classes as a table inside another: kind and fields. ValueError names a key that doesn't fit."""
        return {"kind": str(value.kind), **_written(value)}

    def read_part(self, table: Mapping[str, Any]) -> E:
        """The value of such a table. ValueError says which key is wrong."""
        kind = table.get("kind")
        if not isinstance(kind, str) or kind not in self.kinds:
            raise Unfit(f"nothing is of kind {value_text(kind)}")
        value: E = _taken(self.kinds[kind], {k: v for k, v in table.items() if k != "kind"})
        return value

    def _read(self, table: Mapping[str, Any]) -> tuple[Place, E]:
        place: Place = _taken(Place, {name: table[name] for name in _PLACE if name in table})
        if "kind" not in table:
            raise _missing("kind")
        kind = table["kind"]
        if not isinstance(kind, str) or kind not in self.kinds:
            raise Unfit(f"no event is of kind {value_text(kind)}")
        event: E = _taken(self.kinds[kind], {k: v for k, v in table.items() if k not in _HEAD})
        return place, event


def to_table(value: Any) -> dict[str, Any]:
    """A dataclass as a table, without the fields that stand at their default. ValueError names a key that doesn't
    fit.
    """
    return _written(value)


def from_table(cls: type[T], table: Mapping[str, Any]) -> T:
    """The dataclass of such a table. ValueError says which key is unknown, missing or of the wrong type."""
    made: T = _nested(cls).read(table)
    return made


def _missing(key: str) -> Unfit:
    return Unfit("is missing").at(key)


def _name(table: Mapping[str, Any]) -> str:
    """The event of a table for a message: its number and kind as they stand there."""
    sequence, kind = table.get(COUNTER, "?"), table.get("kind", "no kind")
    return f"{value_text(sequence)} ({kind[:40] if isinstance(kind, str) else value_text(kind)})"


def _taken(cls: type[Any], table: Mapping[str, Any]) -> Any:
    """An instance of a class from its table, or Unfit."""
    form = _form(cls)
    values = {}
    for name, value in table.items():
        read = form.read.get(name)
        if read is None:
            raise Unfit("is not known").at(name)
        try:
            values[name] = read(value)
        except Unfit as problem:
            raise problem.at(name) from None
    for name in form.needed:
        if name not in values:
            raise _missing(name)
    return form.make(**values)


def _written(value: Any) -> dict[str, Any]:
    """The table of an instance, without its defaults."""
    table = {}
    for name, write, default in _form(type(value)).write:
        content = getattr(value, name)
        if type(content) is type(default) and content == default:
            continue
        try:
            table[name] = write(content)
        except Unfit as problem:
            raise problem.at(name) from None
    return table


def _form(cls: type[Any]) -> _Form:
    """What a class declares, looked at once. TypeError names a field that no journal can hold."""
    if (known := _FORMS.get(cls)) is not None:
        return known
    hints = get_type_hints(cls)
    read, write, needed = {}, [], []
    for spec in fields(cls):
        try:
            made = converter(hints[spec.name], _nested)
        except TypeError as problem:
            raise TypeError(f"{cls.__name__}.{spec.name}: {problem}") from problem
        default = spec.default if spec.default_factory is MISSING else spec.default_factory()
        read[spec.name] = made.read
        write.append((spec.name, made.write, _ABSENT if default is MISSING else default))
        if default is MISSING:
            needed.append(spec.name)
    _FORMS[cls] = _Form(cls, read, tuple(needed), tuple(write))
    return _FORMS[cls]


def _nested(cls: type[Any]) -> Converter:
    """A dataclass inside an event, as its own table."""

    def read(value: Any) -> Any:
        if not isinstance(value, Mapping):
            raise Unfit(f"is {value_text(value)}, not a table")
        return _taken(cls, value)

    def write(value: Any) -> dict[str, Any]:
        if type(value) is not cls:
            raise Unfit(f"is {value_text(value)}, not a {cls.__name__}")
        return _written(value)

    return Converter(read, write)
