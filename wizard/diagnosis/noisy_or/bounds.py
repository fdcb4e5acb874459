"""When the exact ways are too long: the likeliest sets of faults, and a bound on all that is left out.

Every set of up to some number of faults, at every severity of each, is weighed exactly, in logarithms. What larger
sets could add is bounded from above: a few of the findings are weighed exactly, and every other one by a factor that
lies above its evidence and parts by fault.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain, combinations, product

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.linear_bounds import thetas, upper_factors
from wizard.diagnosis.noisy_or.reduction import Core

# Sets of faults weighed at most, and findings (bits) used to bound the rest.
MOST_SETS = 60_000
MOST_BITS = 12
# Where tangents are tried, as multiples of the mean u of the largest sets weighed.
STRETCHES = (1.0, 1.3, 1.7)


def bound(core: Core) -> tuple[Floats, float, float]:
    """Probability of each fault at each severity (n x s, 0 if not open), the log of the evidence's weight, and the
    error bound.

    No probability is further from the exact one than the bound. The log weight is a lower bound.
    """
    faults = np.flatnonzero(core.open_faults)
    most = _most_faults(faults.size, core.present.shape[1])
    weights = [_weigh(core, faults, size) for size in range(most + 1)]
    top = max(float(logs.max(initial=-np.inf)) for _, _, logs in weights)
    found = np.zeros(core.present.shape)
    total = 0.0
    for sets, severities, logs in weights:
        share = np.exp(logs - top)
        total += float(share.sum())
        np.add.at(found, (faults[sets], severities), share[:, None])
    rest = _rest(core, faults, most, _mean_u(core, faults, weights[-1]))
    over = math.exp(min(rest - top, 700.0))
    return found / total, core.scale + top + math.log(total), over / (total + over)


def _mean_u(core: Core, faults: np.ndarray, largest: tuple[np.ndarray, np.ndarray, Floats]) -> Floats:
    """The mean u of each finding (k) over the largest sets that were weighed, by their weights."""
    sets, severities, logs = largest
    leak, theta = thetas(core)
    if not len(logs) or logs.max() == -np.inf:
        return leak
    share = np.exp(logs - logs.max())
    often = np.zeros(core.present.shape)
    np.add.at(often, (faults[sets], severities), share[:, None])
    mean: Floats = leak + np.einsum("ns,nsk->k", often / share.sum(), theta)
    return mean


def _most_faults(count: int, severities: int) -> int:
    """The largest number of faults at once for which all sets can be weighed within the budget."""
    most, sets = 0, 1
    while most < count and sets + math.comb(count, most + 1) * severities ** (most + 1) <= MOST_SETS:
        most += 1
        sets += math.comb(count, most) * severities**most
    return most


def _weigh(core: Core, faults: np.ndarray, size: int) -> tuple[np.ndarray, np.ndarray, Floats]:
    """All sets of so many faults (rows of places in ``faults``), their severities, and the log weight of each."""
    of_sets = np.fromiter(chain.from_iterable(combinations(range(faults.size), size)), dtype=np.intp)
    of_ways = np.fromiter(
        chain.from_iterable(product(range(core.present.shape[1]), repeat=size)), dtype=np.intp
    )
    ways = of_ways.reshape(core.present.shape[1] ** size, size)
    sets = np.repeat(of_sets.reshape(math.comb(faults.size, size), size), len(ways), axis=0)
    severities = np.tile(ways, (math.comb(faults.size, size), 1))
    step = (core.present - core.absent[:, None])[faults]
    logs = core.absent[faults].sum() + step[sets, severities].sum(axis=1)
    with np.errstate(divide="ignore"):
        for j in np.flatnonzero(core.open_findings):
            logs += np.log(
                _at_levels(core, faults[sets], severities, int(j)) @ core.like[j, : core.levels(int(j))]
            )
    return sets, severities, logs


def _at_levels(core: Core, sets: np.ndarray, severities: np.ndarray, finding: int) -> Floats:
    """The chances of a finding's levels for each set of faults, rows x levels."""
    at = np.repeat(core.leak[None, finding, : core.levels(finding)], len(sets), axis=0)
    for column, severity in zip(sets.T, severities.T, strict=True):
        w = core.weights[column, severity, finding]
        for s in range(core.present.shape[1]) if core.graded[finding] else (0,):
            rows = severity == s if core.graded[finding] else np.ones(len(sets), dtype=bool)
            some, part = at[rows], w[rows]
            some[:, s + 1] += part * some[:, : s + 1].sum(axis=1)
            some[:, : s + 1] *= 1.0 - part[:, None]
            at[rows] = some
    return at


def _rest(core: Core, faults: np.ndarray, most: int, mean: Floats) -> float:
    """Log of an upper bound on the weight of all sets of more than ``most`` faults, scale left out: the least of those
    that tangents at, and beyond, the ``mean`` u of each finding give.
    """
    if most >= faults.size:
        return -np.inf
    findings = np.flatnonzero(core.open_findings)
    bits = findings[np.argsort(mean[findings])[:MOST_BITS]]
    others = np.setdiff1d(findings, bits)
    return min(_rest_at(core, faults, most, bits, others, stretch * mean) for stretch in STRETCHES)


def _rest_at(
    core: Core, faults: np.ndarray, most: int, bits: np.ndarray, others: np.ndarray, at: Floats
) -> float:
    """The same with the tangents laid at u = ``at``."""
    factors = upper_factors(core, at)
    present = core.present + factors.adds[:, :, others].sum(axis=2)
    seen = np.where(core.graded, core.like[:, 1:].max(axis=1), core.like[:, 1])
    like = np.column_stack((core.like[:, 0], seen))[bits]
    weight, scale = _beyond(replace(core, present=present), faults, bits, like, most)
    with np.errstate(divide="ignore"):
        return float(factors.base[others].sum() + np.log(weight)) + scale


def _beyond(core: Core, faults: np.ndarray, bits: np.ndarray, like: Floats, most: int) -> tuple[float, float]:
    """Weight of all sets of more than ``most`` faults on the findings ``bits`` alone, and a log factor."""
    state = np.ones((1, 1))
    for j in bits:
        quiet = core.leak[j, 0]
        state = np.concatenate((quiet * state, core.leak[j, 1:].sum() * state), axis=1)
    state = np.concatenate((state, np.zeros((most + 1, state.shape[1]))))
    scale = 0.0
    for i in faults:
        top = max(float(core.present[i].max()), float(core.absent[i]))
        drawn = np.zeros_like(state)
        for s, log in enumerate(core.present[i]):
            drawn += math.exp(log - top) * _shown(state, core.weights[i, s, bits])
        state = math.exp(core.absent[i] - top) * state
        state[1:] += drawn[:-1]
        state[-1] += drawn[-1]
        scale += top
    last = state[-1]
    for unseen, seen in like[::-1]:
        half = last.size // 2
        last = unseen * last[:half] + seen * last[half:]
    return float(last[0]), scale


def _shown(state: Floats, weights: Floats) -> Floats:
    """The state after a present fault has brought about what it explains: bit p is finding p."""
    state = state.copy()
    for place, w in enumerate(weights):
        view = state.reshape(state.shape[0], -1, 2, 1 << place)
        view[:, :, 1] += w * view[:, :, 0]
        view[:, :, 0] *= 1.0 - w
    return state
