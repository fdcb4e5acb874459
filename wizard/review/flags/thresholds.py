"""The thresholds of the flags: what comes with the program, and what a shop puts in its place."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from wizard.errors import UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source
from wizard.foreign.toml_reader import read_toml
from wizard.review.flags.flag_id import FlagId

NAME = "flags.toml"
"""The file of that form: beside this module, and in a home where the shop has its own."""

_LARGEST = 1_000_000


@dataclass(frozen=True, slots=True)
class Thresholds:
    """A table of numbers a rule. A rule that is not ``on`` is not looked for."""

    rules: Mapping[str, Mapping[str, float]]

    def on(self, rule: FlagId) -> bool:
        """True when this rule is looked for."""
        return bool(self.rules[rule]["on"])

    def number(self, rule: FlagId, key: str) -> float:
        """A number of a rule. KeyError where the rule has no number of that name."""
        return float(self.rules[rule][key])


@lru_cache(maxsize=1)
def shipped() -> Thresholds:
    """The thresholds that come with the program."""
    data = (files("wizard.review.flags") / NAME).read_bytes()
    return Thresholds(read_toml(data, Source.FLAGS))


def load(home: Path) -> Thresholds:
    """The shop's own thresholds over the shipped ones. UsageError says what is wrong with its file."""
    path = home / NAME
    try:
        own = read_toml(read_file(path, Source.FLAGS), Source.FLAGS)
    except FileNotFoundError:
        return shipped()
    except OSError as error:
        raise UsageError(f"{path}: can't be read ({error.strerror}). Look at its permissions.") from error
    except ValueError as error:
        raise UsageError(f"{path}: this is not TOML in UTF-8 ({error}). Mend or remove it.") from error
    return merge(own, str(path))


def merge(own: Mapping[str, Any], name: str) -> Thresholds:
    """Tables of a shop over the shipped ones. UsageError names the file, the table and the key that doesn't fit."""
    rules = {rule: dict(table) for rule, table in shipped().rules.items()}
    for rule, table in own.items():
        if rule not in rules:
            raise UsageError(f"{name}: there is no flag {rule!r}.{_near(rule, rules)}")
        if not isinstance(table, Mapping):
            raise UsageError(f"{name}: {rule} must be a table: [{rule}] and its keys below.")
        for key, value in table.items():
            rules[rule][key] = _fit(name, rule, key, value, rules[rule])
    return Thresholds(rules)


def _fit(name: str, rule: str, key: str, value: Any, table: Mapping[str, float]) -> float:
    """The value, if the rule has such a key and it is of the right kind."""
    if key not in table:
        raise UsageError(f"{name}: [{rule}] has no key {key!r}.{_near(key, table)}")
    if key == "on":
        if not isinstance(value, bool):
            raise UsageError(f"{name}: [{rule}] on must be true or false, not {value!r}.")
        return value
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise UsageError(f"{name}: [{rule}] {key} must be a number, not {value!r}.")
    if not 0 <= value <= _LARGEST:
        raise UsageError(f"{name}: [{rule}] {key} must be between 0 and {_LARGEST}, not {value!r}.")
    return value


def _near(word: str, known: Mapping[str, Any]) -> str:
    near = difflib.get_close_matches(word, known, 1)
    return f" Did you mean {near[0]!r}?" if near else f" There are: {', '.join(known)}."
