"""What can still be checked of a file with problems of form: misspelt keys taken as meant, the rest cut out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import deepcopy
from typing import Any

from pydantic import BaseModel, ValidationError

Path = tuple[str | int, ...]
Errors = Sequence[Any]
UNKNOWN = "extra_forbidden"
"""The type of pydantic's errors of keys that a table doesn't have."""
_OF_KEY = "[key]"
"""What pydantic puts behind the key of a table that is itself wrong."""
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
    """Return the path of an error in its file, without the tags that pydantic is given and adds.

    A tag stands behind the place of a table in its list, or last, where the key of a table is wrong. An unknown key may
    look like one: it is the last part, and stays.
    """
    loc = error["loc"]
    kept = len(loc) - 1 if error["type"] == UNKNOWN else len(loc)
    return tuple(part for n, part in enumerate(loc) if n >= kept or not _is_tag(loc, n))


def _is_tag(loc: Sequence[str | int], place: int) -> bool:
    part = loc[place]
    if not isinstance(part, str) or not part.startswith("["):
        return False
    return part == _OF_KEY if place == len(loc) - 1 else place > 0 and isinstance(loc[place - 1], int)


def unknown(found: Errors) -> list[Path]:
    """Return the paths of the unknown keys."""
    return [path_of(error) for error in found if error["type"] == UNKNOWN]


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
