"""The weights of one finding from cases in which the faults are known: a convex problem.

With theta = -log(1 - w) >= 0 a finding is absent with probability exp(-u), u = leak's theta + the thetas of the faults
that are there. 'Absent' then adds -u to the log likelihood, 'present' log(1 - exp(-u)): both concave. The flow's number
counts as ``strength`` cases: a Beta prior on w, alpha log w + beta log(1 - w), concave in theta too. So there is one
optimum, whatever the start.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.network_builder import SURE
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.learning.optimum.convex_search import lowest

SMALLEST, LARGEST = -float(np.log1p(SURE - 1.0)), -float(np.log1p(-SURE))
"""The least and the largest theta: numbers of a flow are no surer than this."""


@dataclass(frozen=True, slots=True, eq=False)
class FindingCases:
    """Cases in which one finding was asked.

    ``there`` R x K: 1.0 where a cause is there; its first column is the leak, always 1.0. ``e`` R: the evidence, 0 to
    1. ``count`` R: how many cases a row stands for. ``targets`` R: how likely the finding itself is; equal to ``e``
    where that is certain.
    """

    there: Floats
    e: Floats
    count: Floats
    targets: Floats


@dataclass(frozen=True, slots=True, eq=False)
class BetaPrior:
    """``alpha`` and ``beta`` K: cases in which the cause alone showed the finding, and in which it did not."""

    alpha: Floats
    beta: Floats

    @classmethod
    def around(cls, numbers: Floats, strength: float) -> BetaPrior:
        """The prior whose mode is at ``numbers`` and that counts as ``strength`` cases for each."""
        return cls(strength * numbers, strength * (1.0 - numbers))


def theta_of(numbers: Floats) -> Floats:
    """Return -log(1 - w) of probabilities, within what a flow can say."""
    return np.clip(-np.log1p(-np.minimum(numbers, SURE)), SMALLEST, LARGEST)


def number_of(theta: Floats) -> Floats:
    """Return the probability w of a theta."""
    return -np.expm1(-theta)


def cost(theta: Floats, cases: FindingCases, prior: BetaPrior) -> tuple[float, Floats, Floats]:
    """Return the negative log posterior of ``theta`` (K) with the targets as they stand, its gradient (K), and its
    second derivatives (K x K).
    """
    u = cases.there @ theta
    absent = cases.count * (1.0 - cases.targets)
    present = cases.count * cases.targets
    value = float(absent @ u - present @ _log_shown(u))
    slope = cases.there.T @ (absent - present / np.expm1(u))
    curve = cases.there.T @ ((present * _bend(u))[:, None] * cases.there)
    value += float(prior.beta @ theta - prior.alpha @ _log_shown(theta))
    slope = slope + prior.beta - prior.alpha / np.expm1(theta)
    return value, slope, curve + np.diag(prior.alpha * _bend(theta))


def fit(
    cases: FindingCases, prior: BetaPrior, start: Floats, free: NDArray[np.bool_] | None = None
) -> Floats:
    """Return the theta (K) of the least cost. Those not ``free`` stay as in ``start``.

    Raises ArithmeticError where the search doesn't settle: cases and prior hold something that is no number.
    """
    moved = np.ones(start.size, dtype=bool) if free is None else free
    theta = np.clip(start, SMALLEST, LARGEST)
    if not moved.any():
        return theta

    def some(part: Floats) -> tuple[float, Floats, Floats]:
        whole = theta.copy()
        whole[moved] = part
        value, slope, curve = cost(whole, cases, prior)
        return value, slope[moved], curve[np.ix_(moved, moved)]

    theta[moved] = lowest(some, theta[moved], SMALLEST, LARGEST)
    return theta


def softened(theta: Floats, cases: FindingCases) -> Floats:
    """Return how likely the finding is in each case (R), given its evidence and ``theta``: the E step of EM."""
    shown = number_of(cases.there @ theta)
    seen, unseen = cases.e * shown, (1.0 - cases.e) * (1.0 - shown)
    return np.divide(seen, seen + unseen, out=cases.e.copy(), where=seen + unseen > 0.0)


def information(theta: Floats, cases: FindingCases, prior: BetaPrior) -> Floats:
    """Return the observed information (K x K): the second derivatives of the negative log posterior, at ``theta``.

    Of the evidence itself, so what soft evidence leaves open is taken off (Louis 1982).
    """
    hidden = np.exp(-(cases.there @ theta))
    bent = (1.0 - 2.0 * cases.e) * hidden
    q = bent / np.maximum(cases.e + bent, 1e-12)
    curve = cases.count * -(q * (1.0 - q))
    own = np.diag(prior.alpha * _bend(theta))
    whole: Floats = cases.there.T @ (curve[:, None] * cases.there) + own
    return whole


def _log_shown(u: Floats) -> Floats:
    """Return log(1 - exp(-u)), exact for small and for large u."""
    small = u < np.log(2.0)
    with np.errstate(divide="ignore"):
        shown: Floats = np.where(small, np.log(-np.expm1(-u)), np.log1p(-np.exp(-u)))
    return shown


def _bend(u: Floats) -> Floats:
    """Return the second derivative of -log(1 - exp(-u))."""
    bent: Floats = 1.0 / (np.expm1(u) * -np.expm1(-u))
    return bent
