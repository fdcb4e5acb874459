"""The reference of the TOML format, written from the declarations and the calculators so that it can't disagree.

``python -m wizard.flow.authoring.reference > flows/FORMAT.md`` makes it anew; a test compares them.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from dataclasses import is_dataclass
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin

from wizard.calculators import CALCULATORS
from wizard.calculators.declaration import Calculator
from wizard.domain.flow_vocabulary import FileKind
from wizard.domain.references import REFERENCES
from wizard.flow.declaring.declaration_fields import (
    KeyField,
    OneOf,
    Pattern,
    Refers,
    ValueCodec,
    first,
    keys_of,
    kind_key,
    split,
    tables_of,
)
from wizard.flow.declaring.declaration_fields import element as element_of
from wizard.flow.model.common import Caution
from wizard.flow.model.file_kinds import FILES

_PLACES = {
    FileKind.FLOW: "flow.toml",
    FileKind.MACHINE: "library/machine.toml",
    FileKind.INSPECTION: "inspections/*.toml, and procedures/*.toml of the library",
    FileKind.LIMITS: "limits.toml",
    FileKind.FINDINGS: "findings.toml",
    FileKind.FAULTS: "faults.toml",
    FileKind.WORDING: "wording.toml, which may be left out",
    FileKind.CASE: "cases/*.toml",
    FileKind.WEAK: "weak.toml, which may be left out",
    FileKind.SHEET: "a service sheet (sheets/*.toml in the home folder)",
}
_WORDS = {str: "text", int: "whole number", float: "number", bool: "true or false"}
_HEAD = """# The TOML of a flow

Made from the declarations by `python -m wizard.flow.authoring.reference`. Don't write here: change the description in
`wizard/flow/model` and make it anew.

A flow is a folder. Inspections, procedures, drawings and cases may lie in folders one deeper, by subject
(`inspections/drum/ring.toml`). Its files are TOML 1.0 in UTF-8; unknown keys are errors. An id is small letters,
digits and hyphens. Numbers are in the unit that stands beside them. `steadfoot flow check` tells every problem with
its place.

Beside the folder lies `<flow>.approved.toml`, written by `steadfoot flow approve` and not by hand: what keeps people
safe in the flow (conditions, `needs`, `may`, `so`, reaches, stops, warnings), a line each, with who approved it.
`flow check` compares the flow with it: what asks for less is an error, and nobody's approval a warning.

The machine is a set of conditions; what is believed of each is a set of values. Where the hands go (`reach`) says what
must be so; a step is shown only when every machine that this one could be is so. What is missing is asked first, in the
order of the conditions, by the steps of procedures. The library (the folder `library` of the program; a copy of it
beside other flows is not read) has the conditions, reaches and procedures that all flows share, and is part of every
flow; a flow adds to it and weakens nothing. What no machine of a flow has, as taps, it leaves out by `without`; what
the library says in words that don't fit its machines it says in its own, in `wording.toml`. `needs`, `may` and `so` are
tables of a condition to a list of its values: `{ taps = ["shut", "relieved"] }`.

A drawing (`drawings/*.txt`, UTF-8) has parts that begin with a line `== drawing`, `== plain` (the same shape in ASCII),
`== regions` (the same shape, a letter for each cell of a region, a blank or a dot for none), `== names` (a line
`a = dampers` for each letter), and where hands that go to a region need it `== reaches` (a line `dampers = inside`: the
least reach of a step that lights it). Where only some machines look so it has `== applies` (a line `kind = top-hung,
top-base`: a fact and its values): on others it isn't shown, and a step that is for others alone can't name it. With
`== instead` (lines of names) it stands in the place of those drawings on the machines that look so: a step names
`machine:drum`, and a top loader shows its own drum. At most 16 rows of 36 columns.
"""


def reference() -> str:
    """Return the whole reference as Markdown."""
    parts = [_HEAD]
    for kind, place in _PLACES.items():
        if kind not in FILES:
            continue
        parts.append(f"## {place}\n")
        parts += _tables(FILES[kind], ())
    parts += [
        "## Calculators\n",
        "What a `compute` step may name. `many`: every number of the step is used.\n",
    ]
    parts += [_calculator(c) for c in CALCULATORS.values()]
    return "\n".join(parts).rstrip() + "\n"


def _tables(table: type, path: tuple[str, ...]) -> Iterator[str]:
    """Yield a table's keys, then those of the tables in it."""
    if path:
        rows = [
            f"| `{field.key}` | {_is(field)} | {field.says.replace('|', chr(92) + '|')} |"
            for field in keys_of(table)
        ]
        if kind_key(table):
            rows.insert(0, f"| `kind` | {kind_key(table)[0]}, required | Its kind. |")
        yield f"{_about(table)}\n\n| key | is | |\n|---|---|---|\n" + "\n".join(rows) + "\n"
    for field in keys_of(table):
        listed = field.kind is not element_of(field.kind)
        named = get_args(field.kind) if get_origin(field.kind) is Mapping else ()
        keys = (field.key, f'"{_type(*split(named[0]))}"') if named else (field.key,)
        name = ".".join((*path, *keys))
        for inner in tables_of(split(named[1])[0] if named else element_of(_bare(field.kind))):
            if inner is Caution:
                continue
            kinds = f" kind = {kind_key(inner)[0]}" if kind_key(inner) else ""
            yield f"### {f'[[{name}]]' if listed else f'[{name}]'}{kinds}\n"
            yield from _tables(inner, (*path, *keys))


def _about(table: type) -> str:
    """Return what a table is, without what matters to the program only: the first paragraph."""
    return " ".join((table.__doc__ or "").split("\n\n")[0].split()).replace("``", "`")


def _bare(kind: Any) -> Any:
    """Return a type without None, where the key may be left out."""
    if get_origin(kind) in (Union, UnionType):
        kinds = [k for k in get_args(kind) if k is not NoneType]
        return kinds[0] if len(kinds) == 1 else kind
    return kind


def _is(field: KeyField) -> str:
    """Return what a key holds, and its default."""
    message = _type(field.kind, field.marks)
    if field.required:
        return f"{message}, required"
    default = field.default
    plain = isinstance(default, int | float) and default is not False
    return (
        f"{message}, {str(default).lower() if isinstance(default, bool) else f'{default:g}'} if left out"
        if plain
        else message
    )


def _type(kind: Any, marks: tuple[Any, ...] = ()) -> str:
    """Return what a value is, in words."""
    codec, words, pattern = first(marks, ValueCodec), first(marks, OneOf), first(marks, Pattern)
    if codec is not None and codec.words:
        return codec.words
    if pattern is not None and kind in (str, *REFERENCES):
        refers = first(marks, Refers)
        return f"id of a {refers.kind}" if refers and kind is str else pattern.what.removeprefix("an ")
    if words is not None and isinstance(kind, type) and issubclass(kind, Enum):
        return ", ".join(words.words())
    if kind in _WORDS:
        return _WORDS[kind]
    if isinstance(kind, type) and issubclass(kind, Enum):
        return ", ".join(member.value for member in kind)
    if is_dataclass(kind):
        return "table" if kind is not Caution else "{ word, says }"
    return _compound(kind, marks)


def _compound(kind: Any, marks: tuple[Any, ...]) -> str:
    """Return what a list, a table or a value that may be left out is, in words."""
    origin, inside = get_origin(kind), [k for k in get_args(kind) if k is not NoneType]
    if origin in (tuple, frozenset):
        return f"list of {_type(*split(inside[0]))}"
    if origin in (Union, UnionType):
        return " or ".join(dict.fromkeys(_type(*_with(k, marks)) for k in inside))
    return f"table of {_type(*split(inside[0]))} to {_type(*split(inside[1]))}"


def _with(kind: Any, marks: tuple[Any, ...]) -> tuple[Any, tuple[Any, ...]]:
    """Return a type with its own annotations and these."""
    inner, more = split(kind)
    return inner, (*more, *marks)


def _calculator(made: Calculator) -> str:
    """Return one calculator: what goes in, which constants, what comes out."""
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
