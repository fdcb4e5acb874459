"""Check the form of one file against its schema: every problem at once, in plain words, with its path."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from difflib import get_close_matches
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from wizard.flow.schema import FILES
from wizard.flow.schema.wording import say

Path = tuple[str | int, ...]
_ROUNDS = 4
_HEAD_KEY = 2


@dataclass(frozen=True, slots=True)
class Fault:
    """A problem of form: where it is, what to say, and whether its key rather than its value is meant."""

    path: Path
    text: str
    rule: str
    key: bool = False


@dataclass(frozen=True, slots=True)
class Checked:
    """The faults of a file, and what is left of it without them. ``doubtful``: more than unknown keys went."""

    faults: tuple[Fault, ...]
    sound: dict[str, Any]
    doubtful: bool


def validate(kind: str, values: dict[str, Any]) -> Checked:
    """Return what is wrong with the form of a file of this kind, and what of it is sound."""
    model = FILES[kind]
    try:
        model.model_validate(values)
    except ValidationError as error:
        return _checked(model, values, error.errors(include_url=False))
    return Checked((), values, False)


def _checked(model: type[BaseModel], values: dict[str, Any], found: Sequence[Any]) -> Checked:
    """Translate pydantic's errors and cut out what they are about."""
    faults = []
    for error in found:
        path, rule = _path(error), _rule(error)
        text = f"{_whose(values, path)}{say(error, path, keys_at(model, path[:-1]))}"
        faults.append(Fault(path, text, rule, key=rule == "key" or error["loc"][-1:] == ("[key]",)))
    sound, cut = _sound(model, values, found)
    return Checked(tuple(faults), sound, cut)


def _path(error: Mapping[str, Any]) -> Path:
    """Return the path of an error in the file."""
    return tuple(part for part in error["loc"] if part != "[key]")


def _sound(
    model: type[BaseModel], values: dict[str, Any], found: Sequence[Any]
) -> tuple[dict[str, Any], bool]:
    """Return what of a file has no error, and whether more than unknown keys went.

    An unknown key near a right one that is missing is taken as meant, so that it isn't the cause of more errors.
    """
    left, cut = deepcopy(values), False
    for _ in range(_ROUNDS):
        unknown = [_path(e) for e in found if e["type"] == "extra_forbidden"]
        rest = [_item(_path(e)) for e in found if e["type"] != "extra_forbidden"]
        for path in unknown:
            _rename(left, path, keys_at(model, path[:-1]))
        for path in sorted(set(rest), key=lambda p: [(isinstance(x, int), x) for x in p], reverse=True):
            _cut(left, path)
        cut = cut or bool(rest)
        try:
            model.model_validate(left)
        except ValidationError as error:
            found = error.errors(include_url=False)
        else:
            return left, cut
    return (left, True) if _only_missing(found) else ({}, True)


def _only_missing(found: Sequence[Any]) -> bool:
    """True where all that is wrong is that something at the top isn't there, or has too few entries."""
    return all(e["type"] in ("missing", "too_short") and len(e["loc"]) <= _HEAD_KEY for e in found)


def _rename(values: Any, path: Path, keys: Sequence[str]) -> None:
    """Give an unknown key the right name nearest to it if that one isn't there, else take it out."""
    for part in path[:-1]:
        values = values[part]
    value = values.pop(path[-1])
    near = get_close_matches(str(path[-1]), keys, 1, 0.6)
    if near and near[0] not in values:
        values[near[0]] = value


def _item(path: Path) -> Path:
    """Return the path of the whole that goes with a broken part: an entry of a list at the top, a key of [flow]."""
    if path[:1] == ("flow",):
        return path[:2]
    return path[:2] if len(path) > 1 and isinstance(path[1], int) else path[:1]


def _rule(error: Mapping[str, Any]) -> str:
    """Return the short word of the rule that an error breaks."""
    kind, last = error["type"], error["loc"][-1] if error["loc"] else ""
    if kind == "extra_forbidden":
        return "key"
    if kind == "missing":
        return "missing"
    if kind == "string_pattern_mismatch":
        return "id"
    if last == "unit":
        return "unit"
    return "type" if kind.endswith("_type") else "value"


def _whose(values: Any, path: Path) -> str:
    """Return 'step "pull", answer "yes": ' for the tables with ids that ``path`` goes through."""
    names: list[str] = []
    for depth, part in enumerate(path[:-1], 1):
        try:
            values = values[part]
        except (KeyError, IndexError, TypeError):
            break
        label = next((p for p in reversed(path[:depth]) if isinstance(p, str)), "")
        if isinstance(values, dict) and isinstance(values.get("id"), str):
            names.append(f'{label} "{values["id"]}"')
        elif isinstance(part, int) and isinstance(values, dict):
            names.append(f"{label} {part + 1}")
    return f"{', '.join(names)}: " if names else ""


def keys_at(model: type[BaseModel], path: Path) -> list[str]:
    """Return the keys allowed at ``path``; none where any are, or nothing is."""
    here: Any = model
    for part in path:
        here = _below(here, part)
    table = _table(here)
    return [f.alias or name for name, f in table.model_fields.items()] if table else []


def _below(here: Any, part: str | int) -> Any:
    """Return the type at ``part`` of the type ``here``."""
    table = _table(here)
    if table is not None and isinstance(part, str):
        named = {f.alias or name: f.annotation for name, f in table.model_fields.items()}
        return named.get(part)
    inside = [a for a in _plain(here) if a is not type(None)]
    return inside[-1] if inside else None


def _plain(here: Any) -> tuple[Any, ...]:
    """Return the types inside a list, a dict, an optional or an annotated type."""
    return get_args(here)


def _table(here: Any) -> type[BaseModel] | None:
    """Return the table that a type is or may be, or None."""
    if isinstance(here, type) and issubclass(here, BaseModel):
        return here
    if get_origin(here) in (Union, UnionType):
        return next((t for a in get_args(here) if (t := _table(a))), None)
    return None


def _cut(values: Any, path: Path) -> None:
    """Take out what stands at ``path``, if it is there."""
    for part in path[:-1]:
        try:
            values = values[part]
        except (KeyError, IndexError, TypeError):
            return
    remove: Callable[[Any], object] | None = getattr(values, "pop", None)
    if remove is not None and path:
        try:
            remove(path[-1])
        except (KeyError, IndexError, TypeError):
            return
