"""What is wrong with the form of a file that hasn't it: every problem at once, in plain words, with its path.

Imported only where there is a fault: a sound file needs none of pydantic (``wizard.flow.form.form_validation``).
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.declaring.declaration_fields import kind_key
from wizard.flow.form.form_check import FormCheck, FormFault
from wizard.flow.form.form_models import model_of_kind
from wizard.flow.form.recovery import UNKNOWN, Errors, Path, cut_out, failures, path_of, rename, unknown
from wizard.flow.form.table_keys import At, keys_of_table, table_at
from wizard.flow.form.validation_text import say, unknown_key


def form_faults(kind: FileKind, values: dict[str, Any]) -> FormCheck:
    """Return what is wrong with the form of a file of this kind, and what of it is sound.

    An unknown key near a right one that is missing is taken as meant, so that it doesn't cause more errors.
    """
    model = model_of_kind(kind)
    found = failures(model, values)
    if not found:
        return FormCheck((), values, False)
    faults, meant, origin = _unknown_keys(kind, values, found)
    found = [error for error in failures(model, meant) if error["type"] != UNKNOWN]
    for error in found:
        path = path_of(error)
        text = f"{_whose(meant, path)}{say(error, path)}"
        faults.append(FormFault(_back(path, origin), text, _rule(error), error["loc"][-1:] == ("[key]",)))
    return FormCheck(tuple(faults), cut_out(model, meant, found) if found else meant, bool(found))


def _unknown_keys(
    kind: FileKind, values: dict[str, Any], found: Errors
) -> tuple[list[FormFault], dict[str, Any], dict[Path, Path]]:
    """Return the faults of unknown keys, a copy without them, and new path -> old path of those renamed."""
    faults: list[FormFault] = []
    meant = deepcopy(values)
    origin: dict[Path, Path] = {}
    while paths := unknown(found):
        for path in paths:
            at = table_at(kind, meant, path[:-1])
            keys = at.keys
            text, rule = _unknown(at, path[-1], keys)
            faults.append(FormFault(_back(path, origin), f"{_whose(meant, path)}{text}", rule, key=True))
            origin[rename(meant, path, keys)] = _back(path, origin)
        found = failures(model_of_kind(kind), meant)
    return faults, meant, origin


def _unknown(at: At, key: str | int, keys: list[str]) -> tuple[str, str]:
    """Return what to say of an unknown key, and by which rule: one of another kind of table says of which."""
    homes = [word for other in at.others if key in keys_of_table(other) for word in kind_key(other)]
    if homes and at.table is not None:
        mine = kind_key(at.table)[0]
        return f'"{key}" does nothing in a {mine} step. It belongs to {" or ".join(homes)}', "kind"
    return unknown_key(key, keys), "key"


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
