"""What can still be checked of a file with problems of form: misspelt keys taken as meant, the rest cut out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import deepcopy
from typing import Any

from pydantic import BaseModel, ValidationError

Path = tuple[str | int, ...]
Errors = Sequence[Any]
_ROUNDS = 6
_HEAD_KEY = 2


def failures(model: type[BaseModel], values: dict[str, Any]) -> Errors:
    """Return pydantic's errors; none where ``values`` has the form."""
    try:
        model.model_validate(values)
    except ValidationError as error:
        return error.errors(include_url=False)
    return ()


def path_of(error: Any) -> Path:
    """Return the path of an error in its file, without the tags that pydantic is given and adds."""
    return tuple(part for part in error["loc"] if not (isinstance(part, str) and part.startswith("[")))


def unknown(found: Errors) -> list[Path]:
    """Return the paths of the unknown keys."""
    return [path_of(error) for error in found if error["type"] == "extra_forbidden"]


def rename(values: Any, path: Path, keys: Sequence[str]) -> Path:
    """Give an unknown key the right name nearest to it, if that isn't there, else take it out; return its new
    path.
    """
    from difflib import get_close_matches  # Late: wanted only for what is misspelt.

    for part in path[:-1]:
        values = values[part]
    value = values.pop(path[-1])
    near = get_close_matches(str(path[-1]), keys, 1, 0.6)
    if not near or near[0] in values:
        return path
    values[near[0]] = value
    return (*path[:-1], near[0])


def cut_out(model: type[BaseModel], values: dict[str, Any], found: Errors) -> dict[str, Any]:
    """Return a copy of ``values`` without the tables that have errors, and without those that this leaves wrong.

    A table that is missing at the top, or a list there with too few entries, stays so.
    """
    left = deepcopy(values)
    for _ in range(_ROUNDS):
        paths = {_whole(path_of(error)) for error in found}
        for path in sorted(paths, key=lambda p: [(isinstance(x, int), x) for x in p], reverse=True):
            _cut(left, path)
        found = failures(model, left)
        if not found or _only_missing(found):
            return left
    return {}


def _only_missing(found: Errors) -> bool:
    """True where all that is wrong is that something at the top isn't there, or has too few entries."""
    return all(e["type"] in ("missing", "too_short") and len(e["loc"]) <= _HEAD_KEY for e in found)


def _whole(path: Path) -> Path:
    """Return the path of the whole that goes with a broken part: an entry of a list at the top, a key of [flow]."""
    if path[:1] == ("flow",):
        return path[:2]
    return path[:2] if len(path) > 1 and isinstance(path[1], int) else path[:1]


def _cut(values: Any, path: Path) -> None:
    """Take out what stands at ``path``, if it is there."""
    try:
        for part in path[:-1]:
            values = values[part]
        remove: Callable[[Any], object] = values.pop
        remove(path[-1])
    except (KeyError, IndexError, TypeError, AttributeError):
        return  # what isn't there needs no cutting
