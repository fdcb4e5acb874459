"""The reference of the TOML format, written from the schema and the calculators so that it can't disagree with them.

``python -m wizard.flow.schema.reference`` writes flows/FORMAT.md anew; a test compares them.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from wizard.flow.calculators import CALCULATORS
from wizard.flow.calculators.form import Calculator
from wizard.flow.schema import FILES

_PLACES = {
    "flow": "flow.toml",
    "inspection": "inspections/*.toml",
    "limits": "limits.toml",
    "findings": "findings.toml",
    "faults": "faults.toml",
    "case": "cases/*.toml",
    "sheet": "a service sheet (sheets/*.toml in the home folder)",
}
_WORDS = {str: "text", int: "whole number", float: "number", bool: "true or false"}
_HEAD = """# The TOML of a flow

Made from the schema by `python -m wizard.flow.schema.reference`. Don't write here: change the description in
`wizard/flow/schema` and make it anew.

A flow is a folder. Its files are TOML 1.0 in UTF-8; unknown keys are errors. An id is small letters, digits and
hyphens. Numbers are in the unit that stands beside them. `steadfoot flow check` tells every problem with its place.

A drawing (`drawings/*.txt`, UTF-8) has parts that begin with a line `== drawing`, `== plain` (the same shape in ASCII),
`== regions` (the same shape, a letter for each cell of a region, a blank or a dot for none) and `== names` (a line
`a = dampers` for each letter). At most 16 rows of 36 columns.
"""


def reference() -> str:
    """The whole reference as Markdown."""
    parts = [_HEAD]
    for kind, model in FILES.items():
        parts.append(f"## {_PLACES[kind]}\n")
        parts += _tables(model, ())
    parts += [
        "## Calculators\n",
        "What a `compute` step may name. `many`: every number of the step is used.\n",
    ]
    parts += [_calculator(c) for c in CALCULATORS.values()]
    return "\n".join(parts).rstrip() + "\n"


def _tables(model: type[BaseModel], path: tuple[str, ...]) -> Iterator[str]:
    """A table's keys, then those of the tables in it."""
    below = []
    rows = []
    for name, field in model.model_fields.items():
        key = field.alias or name
        inner, listed = _inner(field.annotation)
        if inner is not None and not _inline(inner, listed):
            below.append((inner, (*path, key), listed))
        if path:
            rows.append(f"| `{key}` | {_kind(field)} | {_says(field)} |")
    if rows:
        yield f"{model.__doc__ or ''}\n\n| key | is | |\n|---|---|---|\n" + "\n".join(rows) + "\n"
    for inner, where, listed in below:
        name = ".".join(where)
        yield f"### {f'[[{name}]]' if listed else f'[{name}]'}\n"
        yield from _tables(inner, where)


def _inline(inner: type[BaseModel], listed: bool) -> bool:
    """True for a small table that stands in a line, such as a caution: it is told where it is used."""
    return listed and inner.__name__ == "Caution"


def _inner(kind: Any) -> tuple[type[BaseModel] | None, bool]:
    """The table that a key holds, and whether it holds a list of them."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind, False
    origin, inside = get_origin(kind), get_args(kind)
    if origin is list:
        return _inner(inside[0])[0], True
    if origin in (Union, UnionType, Annotated):
        found = (_inner(k) for k in inside if k is not type(None))
        return next((f for f in found if f[0]), (None, False))
    return None, False


def _kind(field: FieldInfo) -> str:
    """What a key holds, and its default."""
    said = _type(field.annotation)
    if field.is_required():
        return f"{said}, required"
    default = field.default
    plain = isinstance(default, str | int | float) and default not in ("", False)
    return f"{said}, {str(default).lower()} if left out" if plain else said


def _type(kind: Any) -> str:
    if kind in _WORDS:
        return _WORDS[kind]
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return "table" if kind.__name__ != "Caution" else "{ word, says }"
    origin, inside = get_origin(kind), [k for k in get_args(kind) if k is not type(None)]
    if origin is list:
        return f"list of {_type(inside[0])}"
    if origin is dict:
        return f"table of {_type(inside[0])} to {_type(inside[1])}"
    if origin is Literal:
        return ", ".join(str(word) for word in inside)
    if origin is Annotated:
        return _type(inside[0])
    if origin in (Union, UnionType):
        return " or ".join(dict.fromkeys(_type(k) for k in inside))
    return "see right"


def _says(field: FieldInfo) -> str:
    return (field.description or "").replace("|", "\\|")


def _calculator(made: Calculator) -> str:
    """One calculator: what goes in, which constants, what comes out."""
    out = f"{made.dimension}{f' in {made.unit}' if made.unit else ''}"
    lines = [f"- `{made.id}`: {made.says}. Gives: {out}."]
    for name, put in made.inputs.items():
        many = ", many" if put.many else ""
        left = ", may be left out" if put.optional else ""
        lines.append(f"  - input `{name}` ({put.dimension}{many}{left}): {put.says}")
    for name, choice in made.choices.items():
        lines.append(f"  - choice `{name}`: {choice.says}; {', '.join(choice.values)}")
    for name, constant in made.settings.items():
        usual = "required" if constant.default is None else f"{constant.default:g} if left out"
        lines.append(f"  - setting `{name}` ({constant.unit}, {usual}): {constant.says}")
    return "\n".join(lines)


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8", newline="\n")  # type: ignore[union-attr]
    sys.stdout.write(reference())
