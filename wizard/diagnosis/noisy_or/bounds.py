"""When the exact ways are too long: the likeliest sets of faults, and a bound on all that is left out.

Every set of up to some number of faults is weighed exactly, in logarithms. What larger sets could add is
bounded from above by weighing them on a few of the findings only, and taking every other finding at the
best any set could make of it.
"""

from __future__ import annotations

import math
from itertools import chain, combinations

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Core

# Sets of faults weighed at most, and findings (bits) used to bound the rest.
MOST_SETS = 60_000
MOST_BITS = 10


def bound(core: Core) -> tuple[Floats, float, float]:
    """Probability of each fault (0 if not open), the log of the evidence's weight, and the error bound.

    No probability is further from the exact one than the bound. The log weight is a lower bound.
    """
    faults = np.flatnonzero(core.open_faults)
    most = _most_faults(faults.size)
    weights = [_weigh(core, faults, size) for size in range(most + 1)]
    top = max(float(logs.max(initial=-np.inf)) for _, logs in weights)
    found = np.zeros(core.present.size)
    total = 0.0
    for sets, logs in weights:
        share = np.exp(logs - top)
        total += float(share.sum())
        np.add.at(found, faults[sets], share[:, None])
    rest = _rest(core, faults, most)
    over = math.exp(min(rest - top, 700.0))
    return found / total, core.scale + top + math.log(total), over / (total + over)


def _most_faults(count: int) -> int:
    """The largest number of faults at once that all sets of can be weighed within the budget."""
    most, sets = 0, 1
    while most < count and sets + math.comb(count, most + 1) <= MOST_SETS:
        most += 1
        sets += math.comb(count, most)
    return most


def _weigh(core: Core, faults: np.ndarray, size: int) -> tuple[np.ndarray, Floats]:
    """All sets of so many faults (rows of places in ``faults``), and the log weight of each."""
    flat = np.fromiter(chain.from_iterable(combinations(range(faults.size), size)), dtype=np.intp)
    sets = flat.reshape(math.comb(faults.size, size), size)
    step = (core.present - core.absent)[faults]
    logs = core.absent[faults].sum() + step[sets].sum(axis=1)
    with np.errstate(divide="ignore"):
        for j in np.flatnonzero(core.open_findings):
            hidden, shown = np.full(len(sets), core.quiet[j]), np.full(len(sets), core.leak[j])
            for column in sets.T:
                w = core.weights[faults[column], j]
                shown, hidden = shown + w * hidden, hidden * (1.0 - w)
            logs += np.log(core.seen[j] * shown + core.unseen[j] * hidden)
    return sets, logs


def _rest(core: Core, faults: np.ndarray, most: int) -> float:
    """Log of an upper bound on the weight of all sets of more than ``most`` faults, scale left out."""
    if most >= faults.size:
        return -np.inf
    findings = np.flatnonzero(core.open_findings)
    shown, hidden = _if_all(core, faults, findings)
    best = np.maximum(
        core.seen[findings] * core.leak[findings] + core.unseen[findings] * core.quiet[findings],
        core.seen[findings] * shown + core.unseen[findings] * hidden,
    )
    bits = findings[np.argsort(core.leak[findings])[:MOST_BITS]]
    others = best[~np.isin(findings, bits)]
    weight = _beyond(core, faults, bits, most)
    with np.errstate(divide="ignore"):
        return float(np.log(others).sum() + np.log(weight[0])) + weight[1]


def _if_all(core: Core, faults: np.ndarray, findings: np.ndarray) -> tuple[Floats, Floats]:
    """Probability that each finding shows, and that it does not, with every open fault present."""
    hidden = core.quiet[findings] * np.prod(1.0 - core.weights[np.ix_(faults, findings)], axis=0)
    return 1.0 - hidden, hidden


def _beyond(core: Core, faults: np.ndarray, bits: np.ndarray, most: int) -> tuple[float, float]:
    """Weight of all sets of more than ``most`` faults on the findings ``bits`` alone, and a log factor."""
    state = np.ones((1, 1))
    for j in bits:
        state = np.concatenate((core.quiet[j] * state, core.leak[j] * state), axis=1)
    state = np.concatenate((state, np.zeros((most + 1, state.shape[1]))))
    scale = 0.0
    for i in faults:
        top = max(float(core.present[i]), float(core.absent[i]))
        there, not_there = math.exp(core.present[i] - top), math.exp(core.absent[i] - top)
        drawn = there * _shown(state, core.weights[i, bits])
        state = not_there * state
        state[1:] += drawn[:-1]
        state[-1] += drawn[-1]
        scale += top
    last = state[-1]
    for j in bits[::-1]:
        half = last.size // 2
        last = core.unseen[j] * last[:half] + core.seen[j] * last[half:]
    return float(last[0]), scale


def _shown(state: Floats, weights: Floats) -> Floats:
    """The state after a present fault has brought about what it explains: bit p is finding p."""
    state = state.copy()
    for place, w in enumerate(weights):
        view = state.reshape(state.shape[0], -1, 2, 1 << place)
        view[:, :, 1] += w * view[:, :, 0]
        view[:, :, 0] *= 1.0 - w
    return state
