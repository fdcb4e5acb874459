"""The exact sum over every state of every fault: for few faults, or for very small numbers.

The faults are parted into two halves. A finding's factor for a pair of states is then a sum over the levels to which
the first half brings it, of a product of a term of each half, so each finding costs an outer product a level.
"""

from __future__ import annotations

import math

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Core, raised

# Products are put into logarithms before they can get smaller than this.
SMALL = 1e-250


def list_all(core: Core) -> tuple[Floats, float]:
    """Probability of each fault of the core at each severity (n x s, 0 for those not open), and the log of the
    evidence's weight.
    """
    faults = np.flatnonzero(core.open_faults)
    low, high = faults[: faults.size // 2], faults[faults.size // 2 :]
    logs = _odds(core, high)[:, None] + _odds(core, low)[None, :]
    product, floor = np.ones_like(logs), 1.0
    with np.errstate(divide="ignore"):
        for j in np.flatnonzero(core.open_findings):
            factor = _factor(core, int(j), high, low)
            least = float(factor.min())
            if floor * least < SMALL:
                logs += np.log(product)
                product, floor = np.ones_like(logs), 1.0
            product *= factor
            floor *= least
        logs += np.log(product)
    return _summed(core, faults, logs)


def _summed(core: Core, faults: np.ndarray, logs: Floats) -> tuple[Floats, float]:
    """Marginals and the log total of all states' weights; the first fault changes fastest."""
    states = 1 + core.present.shape[1]
    top = float(logs.max())
    share = np.exp(logs - top).reshape(-1)
    total = float(share.sum())
    found = np.zeros(core.present.shape)
    for place, i in enumerate(faults):
        found[i] = share.reshape(-1, states, states**place)[:, 1:].sum(axis=(0, 2)) / total
    return found, core.scale + top + math.log(total)


def _odds(core: Core, faults: np.ndarray) -> Floats:
    """Log weight of every state of these faults before any finding."""
    logs = np.zeros(1)
    for i in faults:
        logs = np.add.outer(np.array([core.absent[i], *core.present[i]]), logs).reshape(-1)
    return logs


def _factor(core: Core, finding: int, high: np.ndarray, low: np.ndarray) -> Floats:
    """How likely a finding's evidence is in every state, states of ``high`` x states of ``low``."""
    levels = core.levels(finding)
    like = core.like[finding, :levels]
    ours = _brought(core, finding, high, core.leak[finding, :levels])
    theirs = _brought(core, finding, low, np.eye(levels)[0])
    below = np.cumsum(theirs, axis=1)
    factor = np.zeros((len(ours), len(theirs)))
    for level in range(levels):
        inner = like[level] * below[:, level] + theirs[:, level + 1 :] @ like[level + 1 :]
        factor += ours[:, level, None] * inner[None, :]
    return factor


def _brought(core: Core, finding: int, faults: np.ndarray, start: Floats) -> Floats:
    """The chances of a finding's levels in every state of these faults, states x levels."""
    at = start[None, :]
    for i in faults:
        there = [raised(core, at, int(i), s, finding) for s in range(core.present.shape[1])]
        at = np.concatenate((at, *there))
    return at
