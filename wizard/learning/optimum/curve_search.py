"""The best numbers of a limit's curve, whatever the search begins at, and how sure they are."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.learning.optimum.curve_likelihood import FACTORS, SCALE, CurvePart, CurveProblem, cost, dispersion

FURTHEST = (50.0, 4.0, 1.2)
"""A search goes no further than so many of the trainer's scatters from usual, and so far in the logs of scatter and of
the factors.
"""
TRIED = 121
"""So many factors are tried before the search: where readings lie far from every centre none is pulled anywhere."""
MOST_ROUNDS, SETTLED, STEP = 50, 1e-6, 1e-4


def now_at(problem: CurveProblem) -> Floats:
    """Return the unknowns (2 + B) of the curve as it is now."""
    first, now = problem.trainer, problem.now
    factors = np.maximum((now.off / first.off).mean(axis=1), np.exp(-FURTHEST[2]))
    usual = (now.usual - first.usual) / first.scatter
    return np.array([usual, np.log(now.scatter / first.scatter), *np.log(factors)])


def from_data(problem: CurveProblem) -> Floats:
    """Return another start: what the likely healthy readings say of usual and scatter, by their middle half; the
    factors as they are.
    """
    start, first = now_at(problem), problem.trainer
    some = problem.cases.value[problem.cases.healthy > 0.5]
    if some.size < 4:
        return start
    low, middle, high = np.quantile(some, (0.25, 0.5, 0.75))
    start[0] = (middle - first.usual) / first.scatter
    start[1] = np.log(max((high - low) / (2.0 * np.log(3.0) * SCALE), 0.05 * first.scatter) / first.scatter)
    return start


def best(problem: CurveProblem, start: Floats) -> tuple[Floats, bool]:
    """Return the unknowns (2 + B) at which either part is best given the other, and whether they came to rest."""
    far = np.array([*FURTHEST[:2], *[FURTHEST[2]] * (start.size - FACTORS)])
    at = np.clip(start, -far, far)
    for turn in range(MOST_ROUNDS):
        before = at
        for part in CurvePart:
            at = _better(problem, part, at, far, turn == 0)
        if float(np.abs(at - before).max()) <= SETTLED:
            return at, True
    return at, False


def _better(problem: CurveProblem, part: CurvePart, at: Floats, far: Floats, first: bool) -> Floats:
    """The best unknowns of one part, the others as they are; the ``first`` time begun at the best of many factors."""
    wanted = np.flatnonzero(problem.looked_for(part))
    if not wanted.size:
        return at
    if first and part is CurvePart.FAULTY:
        at = _tried(problem, wanted, at)

    def some(inner: Floats) -> tuple[float, Floats]:
        value, slope = cost(_with(at, wanted, inner), problem, part)
        return value, slope[wanted]

    bounds = list(zip(-far[wanted], far[wanted], strict=True))
    options = {"ftol": 1e-14, "gtol": 1e-7, "maxiter": 300}
    found = minimize(some, at[wanted], jac=True, method="L-BFGS-B", bounds=bounds, options=options)
    return _with(at, wanted, found.x)


def _tried(problem: CurveProblem, wanted: NDArray[np.intp], at: Floats) -> Floats:
    """The same with each factor at the best of many, or as it was where that is as good."""
    for k in wanted:
        places = (at[k], *np.linspace(-FURTHEST[2], FURTHEST[2], TRIED))
        ways = [_with(at, np.array([k]), np.array([place])) for place in places]
        at = min(ways, key=lambda way: cost(way, problem, CurvePart.FAULTY)[0])
    return at


def likely_factors(problem: CurveProblem, unknowns: Floats, band: int, most: float) -> tuple[float, float]:
    """Return the least and the largest factor of a band, of the many that are tried, whose cost lies no more than
    ``most`` above that of ``unknowns``, times the dispersion, all else as it is: there may be more than one place where
    the centres fit.
    """
    least = cost(unknowns, problem, CurvePart.FAULTY)[0]
    k, limit = np.array([FACTORS + band]), least + most * dispersion(unknowns, problem)
    tried = (unknowns[k[0]], *np.linspace(-FURTHEST[2], FURTHEST[2], TRIED))
    fit = [g for g in tried if cost(_with(unknowns, k, np.array([g])), problem, CurvePart.FAULTY)[0] <= limit]
    return float(np.exp(min(fit))), float(np.exp(max(fit)))


def healthy_cost(problem: CurveProblem, unknowns: Floats) -> float:
    """Return the negative log posterior of usual and scatter, by which two starts are compared."""
    return cost(unknowns, problem, CurvePart.HEALTHY)[0]


def covariance(unknowns: Floats, problem: CurveProblem) -> Floats:
    """Return how the unknowns (2 + B, twice) vary together by Laplace; 0 where one is not free.

    Either part's slopes vary as its own second derivatives say, those of the factors times the dispersion, and the
    factors lean on usual and scatter: so the inverse of all slopes' derivatives stands on both sides (Godambe 1960, of
    estimating equations: from memory).
    """
    free = np.flatnonzero(problem.free)
    derived = np.empty((free.size, free.size))
    for n, k in enumerate(free):
        off = np.zeros(unknowns.size)
        off[k] = STEP
        derived[:, n] = (_slopes(unknowns + off, problem) - _slopes(unknowns - off, problem))[free] / (
            2.0 * STEP
        )
    own = free < FACTORS
    vary = np.where(own[:, None] == own[None, :], (derived + derived.T) / 2.0, 0.0)
    vary[~own] *= dispersion(unknowns, problem)
    turned = np.linalg.pinv(derived)
    whole = np.zeros((unknowns.size, unknowns.size))
    whole[np.ix_(free, free)] = turned @ vary @ turned.T
    return whole


def _slopes(unknowns: Floats, problem: CurveProblem) -> Floats:
    """The slope of each part's cost by its own unknowns (2 + B)."""
    both = [cost(unknowns, problem, part)[1] for part in CurvePart]
    slopes: Floats = np.sum(both, axis=0)
    return slopes


def _with(whole: Floats, where: NDArray[np.intp], part: Floats) -> Floats:
    """A vector with some of its entries replaced."""
    made: Floats = whole.copy()
    made[where] = part
    return made
