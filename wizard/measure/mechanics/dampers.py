"""Dampers pulled on a scale: the drag of one, and how far a pair differs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.measure.argument_checks import not_negative


@dataclass(frozen=True, slots=True)
class PairDifference:
    """How far two dampers differ: ``difference`` first minus second in N, ``share`` of their mean, with
    standard uncertainties ``difference_u`` and ``share_u``.
    """

    difference: float
    difference_u: float
    share: float
    share_u: float


def drag(outward: float, inward: float) -> float:
    """Return a damper's drag, N, from pulls both ways: their mean, so that its own weight cancels.

    ValueError naming the argument if negative.
    """
    return (not_negative("outward", outward) + not_negative("inward", inward)) / 2


def pair(first: float, second: float, first_u: float = 0.0, second_u: float = 0.0) -> PairDifference:
    """Return how far two dampers' drags, N, differ, with the uncertainty of the difference.

    ``first_u``, ``second_u``: standard uncertainties, independent of each other. The share is signed:
    (a - b) / ((a + b) / 2). ValueError if a drag is negative or both are zero. Source: GUM 5.1.2, eq. 10.
    """
    a, b = not_negative("first", first), not_negative("second", second)
    both = a + b
    if both == 0:
        raise ValueError("first: both dampers read zero, so there is no share to give")
    spreads = (not_negative("first_u", first_u), not_negative("second_u", second_u))
    slopes = (4 * (b / both) / both, -4 * (a / both) / both)
    share_u = math.hypot(*(slope * spread for slope, spread in zip(slopes, spreads, strict=True)))
    return PairDifference(a - b, math.hypot(*spreads), 2 * (a - b) / both, share_u)
