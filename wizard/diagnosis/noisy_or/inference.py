"""How likely each fault is, given all that was found: exact, or with a stated bound on the error."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np
from numpy.typing import ArrayLike

from wizard.diagnosis.noisy_or import (
    bounds,
    elimination_order,
    enumeration,
    forward_backward,
    inputs,
    reduction,
)
from wizard.diagnosis.noisy_or.inputs import Floats

# Always exact up to either of these: states of all faults together and of all findings, as bits.
SURE_FAULTS = 20
SURE_FINDINGS = 16
# Beyond both, exact while one pass touches at most this many numbers (about a second) and
# holds at most this many findings in hand at once (memory).
MOST_WORK = 1 << 28
MOST_WIDTH = 20
# Faults whose states are listed at most, as bits.
MOST_LISTED = 22


@unique
class PosteriorWay(StrEnum):
    """How probabilities were found: in one pass, by listing all, or as bounds."""

    PASS = "pass"
    LIST = "list"
    BOUNDED = "bounded"


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Probabilities of the n faults given the evidence, and ``severities`` n x s: of each at each severity.

    ``exact`` False means that the exact ways were too long; then no probability is further from the exact
    one than ``error_bound``, which is 0 otherwise. ``log_evidence`` is the natural logarithm of the
    evidence's probability (of its weight, with soft evidence); a lower bound if not exact. ``way``: by which it
    was found.
    """

    probabilities: Floats
    severities: Floats
    exact: bool
    error_bound: float
    log_evidence: float
    way: PosteriorWay


def infer(
    priors: ArrayLike,
    weights: ArrayLike,
    leaks: ArrayLike,
    evidence: Mapping[int, float],
    *,
    severities: ArrayLike | None = None,
    leak_levels: ArrayLike | None = None,
    most_work: int = MOST_WORK,
) -> Posterior:
    """P(fault present | evidence) for n independent faults that cause m findings by a noisy OR.

    ``priors`` n; ``weights`` n x m, the probability that a fault alone shows a finding; ``leaks`` m, that it
    shows without a fault: P(finding) = 1 - (1 - leak) * product over present faults of (1 - weight).
    ``evidence`` maps a finding's index to e: 1.0 seen, 0.0 ruled out, between weighs
    e P(seen) + (1 - e) P(not seen). A finding that isn't in it is no evidence.

    With ``severities`` n x s, how often a fault is of each severity, ``weights`` are n x s x m. Graded evidence then
    weighs a finding by the worst severity that shows it (a noisy MAX); a leak shows by ``leak_levels`` s, by default
    each alike.

    Exact with at most 20 faults (10 of three severities) or at most 16 findings seen or soft (8 graded ones of three
    severities), whatever ``most_work`` says, and well beyond
    where each finding has few causes: ``most_work`` bounds the numbers that an exact way may touch. Where it can't
    be exact the result says so, with its error bound. Raises ValueError naming the argument on bad input, and
    ValueError if the evidence is impossible.
    Source: Pearl, Probabilistic Reasoning in Intelligent Systems (1988), noisy OR with a leak.
    """
    given = inputs.check(priors, weights, leaks, evidence, severities, leak_levels)
    hard = reduction.reduce(given)
    found, log_evidence, error, way = _solve(hard, most_work)
    found = found + _settled(hard)
    # Rounding may pass 1 by one unit in the last place.
    return Posterior(
        np.minimum(found.sum(axis=1), 1.0), found, way is not PosteriorWay.BOUNDED, error, log_evidence, way
    )


def _settled(hard: reduction.Core) -> Floats:
    """The faults that are settled, n x s: of those that are certain the severity; 0 for all others."""
    certain = (hard.absent == -np.inf) & ~hard.open_faults
    return np.where(certain[:, None] & (hard.present > -np.inf), 1.0, 0.0)


def _solve(hard: reduction.Core, most_work: int) -> tuple[Floats, float, float, PosteriorWay]:
    """Probabilities of the open faults (n x s), log of the evidence, error bound, and the cheapest way that does."""
    states = 1 + hard.present.shape[1]
    faults, findings = int(hard.open_faults.sum()), int(hard.open_findings.sum())
    visits = elimination_order.make(hard)
    # (+ 1e-9: bits of whole findings are sums of logarithms.)
    listed = (findings + 2) * 2 * states**faults
    may_pass = elimination_order.bits(hard) <= SURE_FINDINGS + 1e-9 or (
        visits.width <= MOST_WIDTH + 1e-9 and visits.work <= most_work
    )
    size = faults * math.log2(states)
    may_list = size <= SURE_FAULTS + 1e-9 or (size <= MOST_LISTED + 1e-9 and listed <= most_work)
    if may_pass and not (may_list and listed < visits.work):
        result = forward_backward.sweep(hard, visits)
        if result is not None:
            return *result, 0.0, PosteriorWay.PASS
    if may_list:
        return *enumeration.list_all(hard), 0.0, PosteriorWay.LIST
    return *bounds.bound(hard), PosteriorWay.BOUNDED
