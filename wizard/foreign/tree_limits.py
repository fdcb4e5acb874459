"""The values of a parsed document held to their limits, without nesting calls."""

from __future__ import annotations

from typing import Any

from wizard.foreign.limits import Limits, Unreadable

_WHOLE = 2**63


def within(values: Any, limits: Limits) -> None:
    """Nothing, if the values are within the limits. Unreadable says which of them they are beyond."""
    depth, count, level = 0, 0, [values]
    while level:
        depth += 1
        if depth > limits.depth:
            raise Unreadable(f"nested more than {limits.depth} deep")
        below: list[Any] = []
        for value in level:
            if isinstance(value, dict):
                inner = list(value.values())
                _short(value, limits)
            else:
                inner = value
            count += len(inner)
            if count > limits.values:
                raise Unreadable(f"more than {limits.values} values in it")
            below += [v for v in inner if isinstance(v, dict | list)]
            for one in inner:
                _one(one, limits)
        level = below


def _short(table: dict[str, Any], limits: Limits) -> None:
    for key in table:
        if len(key) > limits.text:
            raise Unreadable(f"a key of more than {limits.text} characters in it")


def _one(value: Any, limits: Limits) -> None:
    if isinstance(value, str):
        if len(value) > limits.text:
            raise Unreadable(f"a text of more than {limits.text} characters in it")
    elif isinstance(value, int) and not -_WHOLE <= value < _WHOLE:
        raise Unreadable("a whole number of more than 64 bits in it")
