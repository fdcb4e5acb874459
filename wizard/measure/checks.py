"""Checks on arguments, shared by the calculators: each raises a ValueError that names the argument."""

from __future__ import annotations

import math
from collections.abc import Iterable


def finite(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` if it is no finite number."""
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        raise ValueError(f"{name}: {value!r} is not a number") from None
    if not math.isfinite(number):
        raise ValueError(f"{name}: {number} is not a finite number")
    return number


def positive(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` unless it is above zero."""
    number = finite(name, value)
    if number <= 0:
        raise ValueError(f"{name}: must be above zero, is {number:g}")
    return number


def not_negative(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` if it is below zero."""
    number = finite(name, value)
    if number < 0:
        raise ValueError(f"{name}: must not be negative, is {number:g}")
    return number


def below_one(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` unless it is from 0 to below 1."""
    number = finite(name, value)
    if not 0 <= number < 1:
        raise ValueError(f"{name}: must be from 0 to below 1, is {number:g}")
    return number


def series(name: str, values: Iterable[float], least: int = 1) -> tuple[float, ...]:
    """Return ``values`` as floats; ValueError naming ``name`` if any isn't finite or there are under
    ``least``.
    """
    try:
        numbers = tuple(finite(name, value) for value in values)
    except TypeError:
        raise ValueError(f"{name}: must be a list of numbers, is {values!r}") from None
    if len(numbers) < least:
        raise ValueError(f"{name}: needs {least} or more, has {len(numbers)}")
    return numbers
