"""Each answer left out in turn: what would be believed without it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from wizard.diagnosis.fault_sets import NEARLY, sets_of
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import alone_log, weigh
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.severity_ways import severity_ways

MOST_EXACT = 8
"""Up to so many answers each of them is left out exactly; beyond, in one table of the likeliest sets of faults."""

MOST_IN_THREES = 10
"""Faults that may be part of a set of three in that table; all others are in sets of one and two."""


def each_left_out(network: Network, evidence: Mapping[str, float]) -> dict[str, Floats]:
    """For each answer the probabilities of the n faults, given all other answers.

    Exact for up to 8 answers. Beyond that every set of one and two faults, and of three of the ten likeliest, is
    weighed once, in each way of its severities, with a factor for each answer, and each answer's factor is taken out:
    what sets of more faults add is left out too. ValueError as for `weigh`.
    """
    answered = {name: e for name, e in evidence.items() if e != 0.5}
    if len(answered) <= MOST_EXACT:
        return {name: weigh(network, _without(evidence, name)).probabilities for name in answered}
    return _by_table(network, answered, weigh(network, evidence).probabilities)


def _without(evidence: Mapping[str, float], name: str) -> dict[str, float]:
    """The evidence without one finding."""
    return {other: e for other, e in evidence.items() if other != name}


def _by_table(network: Network, answered: Mapping[str, float], likely: Floats) -> dict[str, Floats]:
    """The same from one table; ``likely`` says who may be in threes."""
    every, alone = sets_of(network, likely, MOST_IN_THREES), [network.fault(f) for f in network.alone]
    members, observed = every[~every[:, alone].any(axis=1)], network.by_place(answered)
    ways, single = severity_ways(network, members), np.eye(len(network.faults))[alone]
    of_alone = [[alone_log(network, i, j, e) for i in alone] for j, e in observed.items()]
    factors = np.hstack((ways.each(network, observed), np.array(of_alone).reshape(len(observed), len(alone))))
    priors = np.clip(network.priors, 1e-300, NEARLY)
    odds = np.log(priors) - np.log1p(-priors)
    base = np.concatenate(((members @ odds)[ways.row] + ways.log_share, odds[alone]))
    # An answer that a set can't give has a factor of 0: counted apart, as its logarithm can't be taken off again.
    never = np.isneginf(factors)
    factors[never] = 0.0
    logs, nevers, rows = base + factors.sum(axis=0), never.sum(axis=0), np.vstack((members[ways.row], single))
    found = {}
    for place, name in enumerate(answered):
        others = np.where(nevers - never[place] > 0, -np.inf, logs - factors[place])
        share = np.exp(others - others.max())
        found[name] = (share / share.sum()) @ rows
    return found
