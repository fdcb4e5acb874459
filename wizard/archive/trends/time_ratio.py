"""How long a step takes against what the flow gives it: the ratio in the middle, with Student's interval."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.archive.session_tally import HUNDREDTHS
from wizard.archive.trends.rate_interval import CONFIDENCE


@dataclass(frozen=True, slots=True)
class TimeRatio:
    """Of the flow's own time: the geometric mean of what sessions took, and its interval; from 0 to infinity where one
    session alone says it.
    """

    middle: float
    low: float
    high: float


def time_ratio(count: int, total: int, squares: int, confidence: float = CONFIDENCE) -> TimeRatio:
    """From the number of sessions, the sum of their logarithms in hundredths, and the sum of these squared.

    ValueError where there is no session. Times are spread about as a lognormal, so the logarithms are averaged.
    """
    if count < 1:
        raise ValueError("count: there is no session")
    mean = total / count / HUNDREDTHS
    if count == 1:
        return TimeRatio(math.exp(mean), 0.0, math.inf)
    from scipy.special import stdtrit

    spread = max(0.0, squares / HUNDREDTHS**2 - count * mean * mean) / (count - 1)
    half = float(stdtrit(count - 1, 0.5 + confidence / 2)) * math.sqrt(spread / count)
    return TimeRatio(math.exp(mean), math.exp(mean - half), math.exp(mean + half))
