"""A TOML file in which a shop says something of itself, or of a customer, read into the dataclass of its keys."""

from __future__ import annotations

import difflib
from dataclasses import fields
from pathlib import Path
from typing import Any, TypeVar

from wizard.errors import DetailsError
from wizard.foreign.file_reader import read_file
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import LINE_LENGTH, NAME_LENGTH, TEXT_LENGTH, Source, Unreadable
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table

T = TypeVar("T")

LENGTHS = {"name": NAME_LENGTH, "telephone": NAME_LENGTH, "tax_number": NAME_LENGTH, "currency": 8}
"""Characters that a key's text may have where it is less than a line's."""

LONG = frozenset({"address", "warranty"})
"""The keys whose text may have several lines."""


def read_details(path: Path, cls: type[T], source: Source) -> T:
    """What a file says, or what the class is without one. DetailsError: where, which key, what to write instead."""
    try:
        table = read_toml(read_file(path, source), source)
    except FileNotFoundError:
        return cls()
    except OSError as error:
        raise _wrong(
            path, f"it can't be read ({error.strerror or error})", "Look at its permissions."
        ) from error
    except ValueError as problem:
        why = str(problem) if isinstance(problem, Unreadable) else f"this is not TOML in UTF-8 ({problem})"
        raise _wrong(path, why, "Mend it there, or move it away.") from problem
    try:
        details = from_table(cls, table)
    except ValueError as problem:
        raise _wrong(path, str(problem), _keys(cls, table)) from problem
    _texts_fit(path, details)
    return details


def _wrong(path: Path, why: str, remedy: str) -> DetailsError:
    return DetailsError(harmless(f"{path}: {why}. {remedy}"))


def _keys(cls: type[Any], table: dict[str, Any]) -> str:
    """The nearest right name of a key that isn't known, and all that there are."""
    names = [spec.name for spec in fields(cls)]
    strange = next((key for key in table if key not in names), "")
    near = difflib.get_close_matches(strange, names, 1) if strange else []
    hint = f"Did you mean {near[0]}? " if near else ""
    return f"{hint}Its keys are {', '.join(names)}."


def _texts_fit(path: Path, details: Any, where: str = "") -> None:
    """DetailsError for a text that is longer than its key takes, or has lines where it takes one."""
    for spec in fields(details):
        key, value = f"{where}{spec.name}", getattr(details, spec.name)
        if isinstance(value, str):
            most = TEXT_LENGTH if spec.name in LONG else LENGTHS.get(spec.name, LINE_LENGTH)
            if len(value) > most:
                raise _wrong(path, f"its key {key!r} has {len(value)} characters", f"Write at most {most}.")
            if "\n" in value.strip() and spec.name not in LONG:
                raise _wrong(path, f"its key {key!r} has several lines", "Write it on one.")
        elif isinstance(value, tuple):
            for number, row in enumerate(value, 1):
                _texts_fit(path, row, f"{key} {number}: ")
