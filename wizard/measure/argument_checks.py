"""Checks on arguments, shared by the calculators: each raises a ValueError that names the argument.

Numbers are taken as numbers only: no text, no bytes, no True. What is too large or too small for any workshop is
refused here, once, so that no formula overflows or divides by nothing.
"""

from __future__ import annotations

import math
import reprlib
from collections.abc import Iterable
from numbers import Real

LARGEST, SMALLEST = 1e40, 1e-40
"""The largest size of a number, and the least that isn't nothing, in any unit."""


def finite(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` if it is no finite number, or one beyond
    ``LARGEST``.
    """
    number = float(value) if isinstance(value, float) else _number(name, value)
    if not math.isfinite(number):
        raise ValueError(f"{name}: {number} is not a finite number")
    if abs(number) > LARGEST:
        raise ValueError(f"{name}: {number:g} is too large to compute with")
    return number


def _number(name: str, value: object) -> float:
    """Return a number of another kind as a float, an array of no dimension; ValueError naming ``name`` if none."""
    if getattr(value, "ndim", None) == 0 and hasattr(value, "item"):
        value = value.item()
    if isinstance(value, bool) or not isinstance(value, Real):
        raise ValueError(f"{name}: {reprlib.repr(value)} is not a number")
    try:
        return float(value)
    except OverflowError:
        raise ValueError(f"{name}: is too large to compute with") from None


def positive(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` unless it is above zero."""
    number = finite(name, value)
    if number <= 0:
        raise ValueError(f"{name}: must be above zero, is {number:g}")
    if number < SMALLEST:
        raise ValueError(f"{name}: {number:g} is too small to compute with")
    return number


def not_negative(name: str, value: float) -> float:
    """Return ``value`` as a float, 0 if it is under ``SMALLEST``; ValueError naming ``name`` if it is below zero."""
    number = finite(name, value)
    if number < 0:
        raise ValueError(f"{name}: must not be negative, is {number:g}")
    return number if number >= SMALLEST else 0.0


def below_one(name: str, value: float) -> float:
    """Return ``value`` as a float; ValueError naming ``name`` unless it is from 0 to below 1."""
    number = finite(name, value)
    if not 0 <= number < 1:
        raise ValueError(f"{name}: must be from 0 to below 1, is {number:g}")
    return number


def whole(name: str, value: float, least: int, most: int) -> int:
    """Return ``value`` as a whole number; ValueError naming ``name`` unless it is one from ``least`` to ``most``."""
    number = finite(name, value)
    if number != int(number) or not least <= number <= most:
        raise ValueError(f"{name}: must be a whole number from {least} to {most}, is {number:g}")
    return int(number)


def truth(name: str, value: bool) -> bool:
    """Return ``value`` as a bool; ValueError naming ``name`` unless it is True or False (numpy's own too)."""
    if (
        type(value).__module__ == "numpy" and getattr(value, "ndim", None) == 0
    ):  # numpy itself would load slowly
        value = value.item()  # type: ignore[attr-defined]
    if not isinstance(value, bool):
        raise ValueError(f"{name}: must be True or False, is {reprlib.repr(value)}")
    return value


def one_of(name: str, value: str, allowed: Iterable[str]) -> str:
    """Return ``value``; ValueError naming ``name`` unless it is one of the texts ``allowed``."""
    words = tuple(allowed)
    if not isinstance(value, str) or value not in words:
        raise ValueError(f"{name}: must be one of {', '.join(words)}, is {reprlib.repr(value)}")
    return value


def items(name: str, values: Iterable[object]) -> tuple[object, ...]:
    """Return ``values`` as a tuple; ValueError naming ``name`` for a text, or what is no list at all."""
    if isinstance(values, str | bytes | bytearray | dict):
        raise ValueError(f"{name}: must be a list, is {reprlib.repr(values)}")
    try:
        return tuple(values)
    except TypeError:
        raise ValueError(f"{name}: must be a list, is {reprlib.repr(values)}") from None


def series(name: str, values: Iterable[float], least: int = 1) -> tuple[float, ...]:
    """Return ``values`` as floats; ValueError naming ``name`` if any isn't finite or there are under
    ``least``.
    """
    numbers = tuple(finite(name, value) for value in items(name, values))  # type: ignore[arg-type]
    if len(numbers) < least:
        raise ValueError(f"{name}: needs {least} or more, has {len(numbers)}")
    return numbers
