"""pydantic's errors in plain words: what is wrong, and how to fix it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wizard.flow.declaring.declaration_fields import PATTERNS, Pattern
from wizard.flow.problems import nearest

_LONGEST = 60
_ANY = Pattern("", "a name", "small letters, digits, hyphens, as in front-loader:dampers")
_WANTED = {
    "string_type": "a text in quotes",
    "float_type": "a number",
    "int_type": "a whole number",
    "bool_type": "true or false",
    "list_type": "a list, in [ ]",
    "dict_type": "a table, in { }",
    "model_type": "a table, in { }",
    "model_attributes_type": "a table, in { }",
}
_IS = {
    str: "a text",
    bool: "true or false",
    int: "a number",
    float: "a number",
    list: "a list",
    dict: "a table",
}
_BOUNDS = {
    "greater_than_equal": ("ge", "at least"),
    "greater_than": ("gt", "more than"),
    "less_than_equal": ("le", "at most"),
    "less_than": ("lt", "less than"),
}


def say(error: Mapping[str, Any], path: tuple[str | int, ...]) -> str:
    """Return what to tell a person about one of pydantic's errors; for unknown keys see ``unknown_key``."""
    kind, value, context = error["type"], error.get("input"), error.get("ctx", {})
    name = _name(path)
    if kind == "missing":
        return f"{name} is missing. Add it"
    if kind in _WANTED:
        return f"{name} must be {_WANTED[kind]}, not {_IS.get(type(value), 'a date or time')}"
    if kind in _BOUNDS:
        key, words = _BOUNDS[kind]
        return f"{name} must be {words} {context[key]:g}, not {value}"
    if kind == "literal_error":
        return _literal(name, value, context["expected"])
    return f"{name}: {_other(kind, value, context, str(error['msg']))}"


def unknown_key(key: str | int, keys: Sequence[str]) -> str:
    """Return what to tell a person about a key that isn't one of ``keys``."""
    allowed = f" Keys here: {', '.join(keys)}" if keys else ""
    return f'"{key}" is not a key here.{nearest(key, keys) or allowed}'


def _name(path: tuple[str | int, ...]) -> str:
    """Return the last key of a path in quotes, with the number of the entry where it is one."""
    if path and isinstance(path[-1], int):
        key = next((p for p in reversed(path) if isinstance(p, str)), "entry")
        return f'"{key}" entry {path[-1] + 1}'
    return f'"{path[-1]}"' if path else "the file"


def _literal(name: str, value: object, expected: str) -> str:
    """Say which words are allowed."""
    words = [w.strip().strip("'") for w in expected.replace(" or ", ", ").split(",")]
    return f'{name} must be one of {", ".join(words)}, not "{value}".{nearest(value, words)}'.rstrip(".")


def _other(kind: str, value: object, context: Mapping[str, Any], message: str) -> str:
    """Say what is wrong with a value."""
    if kind == "string_pattern_mismatch":
        return _pattern(value, str(context.get("pattern", "")))
    if kind == "value_error":
        return str(context.get("error", message))
    if kind == "string_too_long":
        return f"this text has more than {context['max_length']} characters. Shorten it"
    if kind == "too_short":
        least, there = context["min_length"], context["actual_length"] or "none"
        entries = "entry" if least == 1 else "entries"
        return f"this needs at least {least} {entries}, and there {'is' if there == 1 else 'are'} {there}"
    if kind == "too_long":
        return f"this may have at most {context['max_length']} entries, there are {context['actual_length']}"
    if kind == "finite_number":
        return "this must be a finite number, not inf or nan"
    return message


def _pattern(value: object, regex: str) -> str:
    """Say how a name must be written."""
    text = str(value)
    if len(text) > _LONGEST:
        text = f"{text[: _LONGEST - 3]}..."
    pattern = PATTERNS.get(regex, _ANY)
    return f'"{text}" is not {pattern.what}. Write {pattern.like}'
