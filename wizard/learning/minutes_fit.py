"""The minutes of inspections: medians of what the clock says of runs that nothing interrupted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.stats import binom

from wizard.flow.model import Flow
from wizard.learning.estimate import Estimate, NumberId, NumberKind
from wizard.learning.observation import Observation

LEAST_RUNS = 10
"""So many whole runs must be there before the minutes of an inspection are changed."""
TAIL = 0.025


def fit_minutes(
    flow: Flow, observations: Sequence[Observation], least: int = LEAST_RUNS
) -> tuple[Estimate, ...]:
    """Return the median minutes of each inspection of the flow's own (procedures of the library left out)."""
    seconds: dict[str, list[float]] = {}
    for seen in observations:
        for run in seen.minutes:
            seconds.setdefault(run.inspection, []).append(run.seconds)
    own = (i for i in flow.inspections.values() if not i.procedure)
    return tuple(_estimate(i.id, i.minutes, seconds.get(i.id, []), least) for i in own)


def _estimate(inspection: str, old: float, seconds: Sequence[float], least: int) -> Estimate:
    """The median with its interval: order statistics by the binomial distribution, whatever the times' own is."""
    number, runs = NumberId(NumberKind.MINUTES, inspection), len(seconds)
    if runs < least:
        return Estimate(number, old, old, 0.0, 1440.0, float(runs), least - runs)
    ordered = np.sort(np.array(seconds)) / 60.0
    rank = int(binom.ppf(TAIL, runs, 0.5))
    low, high = float(ordered[max(rank - 1, 0)]), float(ordered[min(runs - rank, runs - 1)])
    return Estimate(number, old, float(np.median(ordered)), low, high, float(runs))
