"""How well a share is known from so many cases: Wilson's interval, and the exact limits of a control chart."""

from __future__ import annotations

import math
from statistics import NormalDist

CONFIDENCE = 0.95
OUTSIDE = 0.00135
"""So seldom does a month lie beyond one control limit by chance alone: three standard deviations of a normal."""


def wilson(hits: int, of: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """The interval (low, high) of a share of ``hits`` in ``of`` cases, 0 to 1; the whole of it where there is no case.

    ValueError where there are more hits than cases, or fewer than none. Source: Wilson 1927, J. Am. Stat. Assoc. 22.
    """
    _checked(hits, of)
    if of == 0:
        return 0.0, 1.0
    z = NormalDist().inv_cdf(0.5 + confidence / 2)
    share, scale = hits / of, 1 + z * z / of
    centre = (share + z * z / (2 * of)) / scale
    half = z / scale * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    low = 0.0 if hits == 0 else max(0.0, centre - half)
    return low, 1.0 if hits == of else min(1.0, centre + half)


def control_limits(share: float, of: int, outside: float = OUTSIDE) -> tuple[int, int]:
    """The fewest and the most hits among ``of`` cases that chance gives where the share is this one: as few, or as
    many, are seen more seldom than ``outside`` on either side only beyond them. Exact, by the binomial distribution.

    ValueError where the share is none from 0 to 1, or there are fewer cases than none.
    """
    if not 0.0 <= share <= 1.0 or of < 0:
        raise ValueError(f"share: {share} of {of} cases can't be had")
    if of == 0 or share == 0.0:
        return 0, 0
    if share == 1.0:
        return of, of
    return _quantile(share, of, outside), _quantile(share, of, 1.0 - outside)


def _quantile(share: float, of: int, chance: float) -> int:
    """The least number of hits with at least this chance of so many or fewer."""
    from scipy.special import bdtr

    low, high = 0, of
    while low < high:
        middle = (low + high) // 2
        if bdtr(middle, of, share) >= chance:
            high = middle
        else:
            low = middle + 1
    return low


def _checked(hits: int, of: int) -> None:
    if not 0 <= hits <= of:
        raise ValueError(f"hits: {hits} of {of} can't be had")
