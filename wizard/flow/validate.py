"""Check the form of one file against its schema: every problem at once, in plain words, with its path."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel

from wizard.flow.mend import Errors, Path, cut_out, failures, path_of, rename, unknown
from wizard.flow.schema import FILES
from wizard.flow.schema.wording import say, unknown_key


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
    """Return what is wrong with the form of a file of this kind, and what of it is sound.

    An unknown key near a right one that is missing is taken as meant, so that it doesn't cause more errors.
    """
    model = FILES[kind]
    found = failures(model, values)
    if not found:
        return Checked((), values, False)
    faults, meant, origin = _unknown_keys(model, values, found)
    found = [error for error in failures(model, meant) if error["type"] != "extra_forbidden"]
    for error in found:
        path = path_of(error)
        text = f"{_whose(meant, path)}{say(error, path)}"
        faults.append(Fault(_back(path, origin), text, _rule(error), error["loc"][-1:] == ("[key]",)))
    return Checked(tuple(faults), cut_out(model, meant, found) if found else meant, bool(found))


def _unknown_keys(
    model: type[BaseModel], values: dict[str, Any], found: Errors
) -> tuple[list[Fault], dict[str, Any], dict[Path, Path]]:
    """Return the faults of unknown keys, a copy without them, and new path -> old path of those renamed."""
    faults: list[Fault] = []
    meant = deepcopy(values)
    origin: dict[Path, Path] = {}
    while paths := unknown(found):
        for path in paths:
            keys = keys_at(model, path[:-1])
            text = f"{_whose(meant, path)}{unknown_key(path[-1], keys)}"
            faults.append(Fault(_back(path, origin), text, "key", key=True))
            origin[rename(meant, path, keys)] = _back(path, origin)
        found = failures(model, meant)
    return faults, meant, origin


def _back(path: Path, origin: Mapping[Path, Path]) -> Path:
    """Return the path in the file of what is at ``path`` after renaming."""
    for size in range(len(path), 0, -1):
        if path[:size] in origin:
            return (*origin[path[:size]], *path[size:])
    return path


def _rule(error: Mapping[str, Any]) -> str:
    """Return the short word of the rule that an error breaks."""
    kind, last = error["type"], error["loc"][-1] if error["loc"] else ""
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
