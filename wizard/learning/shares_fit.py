"""Shares of the faults from all closed sessions: those proved by their labels, the others by their posterior (EM).

Of the sets of faults that a machine with a complaint can have, each is as likely as the product of its faults' prior
odds: an exponential family in the log odds, whose log likelihood is concave and highest where every fault is expected
as often as it was counted. The flow's shares count as ``strength`` complaints a kind.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import beta

from wizard.diagnosis.network_builder import Networks
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh_with
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.flow.model import Flow
from wizard.learning.estimate import Estimate, NumberId, NumberKind
from wizard.learning.observation import Observation
from wizard.learning.optimum.convex_search import lowest
from wizard.learning.weight_cases import MOST_DOUBTFUL, possible_sets

STRENGTH = 20.0
"""So many complaints of a kind the flow's own shares count for."""
LEAST_SESSIONS = 20
"""So many sessions of a kind must be there before its shares are changed."""
SETTLED, MOST_ROUNDS = 2e-4, 25
"""EM ends when no prior moves further than this in a round, or after so many rounds."""
UNSURE = 0.05
"""How often the shares of a kind don't all lie within their intervals."""
LEAST_ODDS, MOST_ODDS = -14.0, 6.0
"""Between these log odds a prior is looked for."""


@dataclass(frozen=True, slots=True, eq=False)
class FaultPriors:
    """The priors (n) of the faults of one kind of machine, and which (n) exclude all others."""

    faults: tuple[str, ...]
    priors: Floats
    alone: np.ndarray


@dataclass(frozen=True, slots=True)
class FittedShares:
    """``estimates`` of every share; ``occupancy``: what the sessions of each kind with enough of them would have it."""

    estimates: tuple[Estimate, ...]
    occupancy: Mapping[str, float]


def expected(log_odds: Floats, alone: np.ndarray) -> tuple[float, Floats, Floats]:
    """Return the log of the sum over all sets that a complaint can have, how often each fault (n) is expected, and how
    they vary together (n x n): the value, gradient and second derivatives of the former.

    A set is one or more of the faults that may be together, or one of those ``alone``.
    """
    odds = np.exp(log_odds)
    log_all = float(np.log1p(odds[~alone]).sum())
    total = float(np.expm1(log_all) + odds[alone].sum())
    each = odds / (1.0 + odds)
    often = np.where(alone, odds / total, each * np.exp(log_all) / total)
    pairs = np.where(alone[:, None] | alone[None, :], 0.0, np.outer(each, each) * np.exp(log_all) / total)
    np.fill_diagonal(pairs, often)
    return float(np.log(total)), often, pairs - np.outer(often, often)


def fit_priors(counts: Floats, cases: float, old: FaultPriors, strength: float) -> Floats:
    """Return the priors (n) of the highest posterior: each fault was counted so often (``counts`` n) in ``cases``
    complaints, and the ``old`` ones count as ``strength`` more.
    """
    start = np.log(old.priors) - np.log1p(-old.priors)
    wanted = counts + strength * expected(start, old.alone)[1]
    whole = cases + strength

    def cost(log_odds: Floats) -> tuple[float, Floats, Floats]:
        log_sum, often, vary = expected(log_odds, old.alone)
        return float(whole * log_sum - wanted @ log_odds), whole * often - wanted, whole * vary

    priors: Floats = 1.0 / (1.0 + np.exp(-lowest(cost, start, LEAST_ODDS, MOST_ODDS)))
    return priors


def fit_shares(
    flow: Flow,
    observations: Sequence[Observation],
    trainer: Mapping[NumberId, float] | None = None,
    strength: float = STRENGTH,
    least: int = LEAST_SESSIONS,
) -> FittedShares:
    """Return what all closed sessions say of each share, kind by kind.

    ``flow`` holds the weights by which a session without a proof is judged. ``trainer`` as in `fit_weights`. Shares of
    a kind are learned together or not at all, and come to what they came to before.
    """
    by_kind: dict[str, list[Observation]] = {}
    for seen in observations:
        by_kind.setdefault(seen.facts.get(flow.kind, ""), []).append(seen)
    found: dict[NumberId, Estimate] = {}
    occupancy = {}
    for kind in dict.fromkeys(k for fault in flow.faults.values() for k in fault.share):
        some = by_kind.get(kind, [])
        old = _old(flow, kind, {})
        if len(some) < least:
            missing = [_few(flow, f, kind, len(some), least) for f in old.faults]
            found |= {one.id: one for one in missing}
            continue
        counts, priors = _climb(flow, some, _old(flow, kind, trainer or {}), old, strength)
        occupancy[kind] = float(priors.sum())
        found |= {one.id: one for one in _estimates(flow, kind, old, counts, priors, len(some), strength)}
    return FittedShares(tuple(found.values()), occupancy)


def _old(flow: Flow, kind: str, instead: Mapping[NumberId, float]) -> FaultPriors:
    """The priors of a kind by the flow, or as ``instead`` says."""
    faults = tuple(f.id for f in flow.faults.values() if f.share.get(kind, 0.0) > 0.0)
    shares = [instead.get(_id(f, kind), flow.faults[f].share[kind]) for f in faults]
    return FaultPriors(
        faults,
        flow.occupancy * np.array(shares, dtype=float) / 100.0,
        np.array([flow.faults[f].alone for f in faults], dtype=bool),
    )


def _climb(
    flow: Flow, some: Sequence[Observation], prior: FaultPriors, now: FaultPriors, strength: float
) -> tuple[Floats, Floats]:
    """EM: how often each fault was there given the priors, then the priors given that; the counts, and the priors."""
    networks = Networks.of(flow)
    priors, counts = now.priors, np.zeros(now.priors.size)
    for _ in range(MOST_ROUNDS):
        counts = np.zeros(priors.size)
        for seen in some:
            counts += _there(flow, networks.of_machine(seen.facts), priors, now.faults, seen)
        new = fit_priors(counts, float(len(some)), prior, strength)
        moved, priors = float(np.abs(new - priors).max()), new
        if moved < SETTLED:
            break
    return counts, priors


def _there(
    flow: Flow, network: Network, priors: Floats, faults: tuple[str, ...], seen: Observation
) -> Floats:
    """How likely each fault (n) was there in one session: 1 where proved, else its posterior; 0 where a machine of its
    facts can't have it.
    """
    told = {f: e for f, e in seen.evidence.items() if f in network.findings}
    places = [faults.index(f) for f in network.faults]
    if seen.faults is None or len(seen.faults.doubtful) > MOST_DOUBTFUL:
        there = np.zeros(len(faults))
        there[places] = weigh_with(network, priors[places], told).probabilities
        return there
    kind = seen.facts.get(flow.kind, "")
    sets = possible_sets(flow, seen.faults, kind, 0)
    if len(sets) == 1:
        return np.array([float(f in sets[0].faults) for f in faults])
    members = np.array([[float(f in one.faults) for f in faults] for one in sets])
    columns = [network.finding(f) for f in told]
    shown = members[:, places] @ np.log1p(-network.weights[:, columns])
    hidden = (1.0 - network.leaks[columns]) * np.exp(shown)
    e = np.array(list(told.values()))
    logs = np.log(np.maximum(e * (1.0 - hidden) + (1.0 - e) * hidden, 1e-300)).sum(axis=1)
    logs += members @ (np.log(priors) - np.log1p(-priors))
    chances = np.exp(logs - logs.max())
    often: Floats = chances @ members / chances.sum()
    return often


def _estimates(
    flow: Flow, kind: str, old: FaultPriors, counts: Floats, priors: Floats, sessions: int, strength: float
) -> list[Estimate]:
    """The shares of one kind, each with its Beta interval by what was counted and the flow's own number.

    95 times in 100 all of them hold at once (Bonferroni), since they change together.
    """
    shares = np.array([flow.faults[f].share[kind] for f in old.faults])
    whole = float(shares.sum())
    new = whole * priors / priors.sum()
    cases = float(counts.sum()) + strength
    a = np.maximum(cases * new / whole, 1e-6)
    tail = UNSURE / (2.0 * shares.size)
    low, high = beta.ppf(tail, a, cases - a) * whole, beta.ppf(1.0 - tail, a, cases - a) * whole
    return [
        Estimate(_id(f, kind), float(was), float(now), float(lo), float(hi), float(sessions))
        for f, was, now, lo, hi in zip(old.faults, shares, new, low, high, strict=True)
    ]


def _few(flow: Flow, fault: str, kind: str, sessions: int, least: int) -> Estimate:
    old = flow.faults[fault].share[kind]
    return Estimate(_id(fault, kind), old, old, 0.0, 100.0, float(sessions), least - sessions)


def _id(fault: str, kind: str) -> NumberId:
    return NumberId(NumberKind.SHARE, fault, kind)
