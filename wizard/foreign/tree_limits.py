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
                if max(map(len, value), default=0) > limits.text:
                    raise Unreadable(f"a key of more than {limits.text} characters in it")
                inner = list(value.values())
            else:
                inner = value
            count += len(inner)
            if count > limits.values:
                raise Unreadable(f"more than {limits.values} values in it")
            below += _nested(inner, limits)
        level = below


def _nested(inner: list[Any], limits: Limits) -> list[Any]:
    """The tables and lists among some values; the others are held to their limits. One look at the class of each: every
    event of every journal goes through here.
    """
    below = []
    for one in inner:
        kind = type(one)
        if kind is str:
            if len(one) > limits.text:
                raise Unreadable(f"a text of more than {limits.text} characters in it")
        elif kind is dict or kind is list:
            below.append(one)
        elif kind is int and not -_WHOLE <= one < _WHOLE:
            raise Unreadable("a whole number of more than 64 bits in it")
    return below
