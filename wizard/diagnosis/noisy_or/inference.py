"""How likely each fault is, given all that was found: exact, or with a stated bound on the error."""

from __future__ import annotations

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

# Always exact up to either of these.
SURE_FAULTS = 20
SURE_FINDINGS = 16
# Beyond both, exact while one pass touches at most this many numbers (about a second) and
# holds at most this many findings in hand at once (memory).
MOST_WORK = 1 << 28
MOST_WIDTH = 20
# Faults whose sets are listed at most.
MOST_LISTED = 22


@unique
class PosteriorWay(StrEnum):
    """How probabilities were found: in one pass, by listing all, or as bounds."""

    PASS = "pass"
    LIST = "list"
    BOUNDED = "bounded"


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Probabilities of the n faults given the evidence.

    ``exact`` False means that the exact ways were too long; then no probability is further from the exact
    one than ``error_bound``, which is 0 otherwise. ``log_evidence`` is the natural logarithm of the
    evidence's probability (of its weight, with soft evidence); a lower bound if not exact. ``way``: by which it
    was found.
    """

    probabilities: Floats
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
    most_work: int = MOST_WORK,
) -> Posterior:
    """P(fault present | evidence) for n independent faults that cause m findings by a noisy OR.

    ``priors`` n; ``weights`` n x m, the probability that a fault alone shows a finding; ``leaks`` m, that it
    shows without a fault: P(finding) = 1 - (1 - leak) * product over present faults of (1 - weight).
    ``evidence`` maps a finding's index to e: 1.0 seen, 0.0 ruled out, between weighs
    e P(seen) + (1 - e) P(not seen). A finding that isn't in it is no evidence.

    Exact with at most 20 faults or at most 16 findings seen or soft, whatever ``most_work`` says, and well beyond
    where each finding has few causes: ``most_work`` bounds the numbers that an exact way may touch. Where it can't
    be exact the result says so, with its error bound. Raises ValueError naming the argument on bad input, and
    ValueError if the evidence is impossible.
    Source: Pearl, Probabilistic Reasoning in Intelligent Systems (1988), noisy OR with a leak.
    """
    hard = reduction.reduce(inputs.check(priors, weights, leaks, evidence))
    settled = np.where(hard.absent == -np.inf, 1.0, 0.0)
    probabilities, log_evidence, error, way = _solve(hard, most_work)
    # Rounding may pass 1 by one unit in the last place.
    return Posterior(
        np.minimum(probabilities + settled * ~hard.open_faults, 1.0),
        way is not PosteriorWay.BOUNDED,
        error,
        log_evidence,
        way,
    )


def _solve(hard: reduction.Core, most_work: int) -> tuple[Floats, float, float, PosteriorWay]:
    """Probabilities of the open faults, log of the evidence, error bound, and the cheapest way that does."""
    faults, findings = int(hard.open_faults.sum()), int(hard.open_findings.sum())
    visits = elimination_order.make(hard)
    listed = (findings + 2) << (faults + 1)
    may_pass = findings <= SURE_FINDINGS or (visits.width <= MOST_WIDTH and visits.work <= most_work)
    may_list = faults <= SURE_FAULTS or (faults <= MOST_LISTED and listed <= most_work)
    if may_pass and not (may_list and listed < visits.work):
        result = forward_backward.sweep(hard, visits)
        if result is not None:
            return *result, 0.0, PosteriorWay.PASS
    if may_list:
        return *enumeration.list_all(hard), 0.0, PosteriorWay.LIST
    return *bounds.bound(hard), PosteriorWay.BOUNDED
