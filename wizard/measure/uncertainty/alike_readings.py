"""How likely two rows of readings agree to the last figure by chance, by how they are spread and what a tool shows."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence

ENOUGH = 8
"""From so many rows on their own spread is taken; of fewer the tool's uncertainty alone, which is the least that there
can be: two machines that are quite alike still differ by it.
"""

_FAR = 8.0
"""Robust standard deviations from the middle, beyond which a row was mistyped: alone it would make all others alike."""

_MAD = 1.4826
"""A normal standard deviation in median absolute deviations."""

_SHARP = 1e-9
"""Grains: a spread below it is none."""


def agreeing(spread: float, grain: float) -> float:
    """The probability that two readings agree once each is rounded to a multiple of ``grain``.

    Both are normal with this standard deviation about one mean, wherever that lies between two marks. Their difference
    d is normal with ``spread`` * sqrt(2), and they agree with probability 1 - |d|/grain where |d| < grain; the integral
    has a closed form. For a spread of many grains it comes to grain / (2 sqrt(pi) spread). 0 for a spread that is no
    finite number. ValueError: a negative spread, or a grain that is not above 0.
    """
    if not math.isfinite(spread):
        return 0.0
    if spread < 0.0:
        raise ValueError(f"spread: {spread} is negative")
    if grain <= 0.0:
        raise ValueError(f"grain: {grain} is not above 0")
    s = spread * math.sqrt(2.0) / grain
    if s < _SHARP:
        return 1.0
    return math.erf(1.0 / (s * math.sqrt(2.0))) + s * math.sqrt(2.0 / math.pi) * math.expm1(-0.5 / (s * s))


def spreads(rows: Sequence[Sequence[float]], noise: float) -> tuple[float, float]:
    """Standard deviations of readings over machines, and within the row of one; neither below ``noise``.

    Of few rows both are ``noise``. Where rows differ in length each counts as it is. What is far from all others was
    mistyped and counts for nothing.
    """
    rows = _plausible(rows, noise)
    if len(rows) < ENOUGH:
        return noise, noise
    means = [sum(row) / len(row) for row in rows]
    middle = sum(means) / len(means)
    between = sum((mean - middle) * (mean - middle) for mean in means) / (len(means) - 1)
    free = sum(len(row) - 1 for row in rows)
    # Squares by a product: one of a number that no tool shows is infinite then, and no error.
    inside = sum((v - mean) * (v - mean) for row, mean in zip(rows, means, strict=True) for v in row)
    within = inside / free if free else 0.0
    return max(noise, math.sqrt(between + within)), max(noise, math.sqrt(within))


def _plausible(rows: Sequence[Sequence[float]], noise: float) -> Sequence[Sequence[float]]:
    """The rows of finite readings whose mean is not far from the middle one, by their own robust spread."""
    finite = [row for row in rows if row and math.isfinite(sum(row))]
    if len(finite) < ENOUGH:
        return finite
    means = [sum(row) / len(row) for row in finite]
    middle = statistics.median(means)
    spread = max(noise, _MAD * statistics.median(abs(mean - middle) for mean in means))
    return [row for row, mean in zip(finite, means, strict=True) if abs(mean - middle) <= _FAR * spread]


def row_agreeing(rows: Sequence[Sequence[float]], noise: float, grain: float, count: int) -> float:
    """The probability that the rows of two machines agree in all ``count`` readings.

    The first as machines differ, each other as readings of one machine do: once the first agrees, the others lie near
    it. 1.0 where nothing is known of the tool, so that nothing follows from it.
    """
    if grain <= 0.0 or noise <= 0.0 or count < 1:
        return 1.0
    first, other = spreads(rows, noise)
    return agreeing(first, grain) * float(agreeing(other, grain) ** (count - 1))


def pairs(count: int) -> float:
    """How many pairs so many rows make."""
    return count * (count - 1) / 2.0
