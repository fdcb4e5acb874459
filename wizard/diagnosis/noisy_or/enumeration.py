"""The exact sum over every set of faults: for few faults, or for very small numbers.

The faults are parted into two halves. A finding's factor for a set is then the sum of a term of the first
half's part and a product of terms of both, so each finding costs one outer product over all sets.
"""

from __future__ import annotations

import math

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Core

# Products are put into logarithms before they can get smaller than this.
SMALL = 1e-250


def list_all(core: Core) -> tuple[Floats, float]:
    """Probability of each fault of the core (0 for those not open), and the log of the evidence's weight."""
    faults = np.flatnonzero(core.open_faults)
    low, high = faults[: faults.size // 2], faults[faults.size // 2 :]
    logs = _odds(core, high)[:, None] + _odds(core, low)[None, :]
    product, floor = np.ones_like(logs), 1.0
    with np.errstate(divide="ignore"):
        for j in np.flatnonzero(core.open_findings):
            outer, inner, base = _factor(core, int(j), high, low)
            least = float(base.min() + outer.min() * inner.min())
            if floor * least < SMALL:
                logs += np.log(product)
                product, floor = np.ones_like(logs), 1.0
            product *= base[:, None] + outer[:, None] * inner[None, :]
            floor *= least
        logs += np.log(product)
    return _summed(core, faults, logs)


def _summed(core: Core, faults: np.ndarray, logs: Floats) -> tuple[Floats, float]:
    """Marginals and the log total of all sets' weights; the first fault is the lowest bit."""
    top = float(logs.max())
    share = np.exp(logs - top).reshape(-1)
    total = float(share.sum())
    found = np.zeros(core.present.size)
    for place, i in enumerate(faults):
        found[i] = float(share.reshape(-1, 2, 1 << place)[:, 1].sum()) / total
    return found, core.scale + top + math.log(total)


def _odds(core: Core, faults: np.ndarray) -> Floats:
    """Log weight of every set of these faults before any finding."""
    logs = np.zeros(1)
    for i in faults:
        logs = np.concatenate((logs + core.absent[i], logs + core.present[i]))
    return logs


def _factor(core: Core, finding: int, high: np.ndarray, low: np.ndarray) -> tuple[Floats, Floats, Floats]:
    """``outer``, ``inner``, ``base``: the factor of sets (a, b) is base[a] + outer[a] inner[b], all of them sums."""
    shown, hidden = _shows(core.weights[high, finding], core.leak[finding], core.quiet[finding])
    more, less = _shows(core.weights[low, finding], 0.0, 1.0)
    return hidden, core.seen[finding] * more + core.unseen[finding] * less, core.seen[finding] * shown


def _shows(weights: Floats, shown: float, hidden: float) -> tuple[Floats, Floats]:
    """Probability that the finding shows, and that it doesn't, for every set of the faults with these weights."""
    yes, no = np.array([shown]), np.array([hidden])
    for w in weights:
        yes = np.concatenate((yes, yes + w * no))
        no = np.concatenate((no, (1.0 - w) * no))
    return yes, no
