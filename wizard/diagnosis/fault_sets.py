"""The likeliest sets of faults and what each would show: a table for asking 'what if' many times quickly.

The posterior itself is exact and comes from ``network_posterior``. What a check would tell is an average over what it
may show, and for that the sets of up to three faults are enough.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.network_model import Network
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.severity_ways import severity_ways

# Faults that may be part of a set of three; all others are in sets of one and two.
MOST_IN_THREES = 16
# What was repaired is taken to have been there in every set from here.
PROBABLE = 0.5
# A weight of 1 as near as a logarithm takes it.
NEARLY = 1.0 - 1e-12
# A set less likely than the likeliest by this is not parted by severities, but left out.
FAINT = 1e-4


@dataclass(frozen=True, slots=True, eq=False)
class FaultSets:
    """h sets of faults: ``members`` h x n (0 or 1), ``share`` h that sums to 1, ``shows`` h x m.

    ``shows`` is P(finding | exactly these faults). Rows of the same faults, which differ by severity, stand together;
    ``starts`` are the first of each.
    """

    members: Floats
    share: Floats
    shows: Floats
    starts: NDArray[np.intp]

    def with_faults(self, joint: Floats) -> Floats:
        """Of weights a row (h x o) the sum over those that each of the n faults is in, n x o."""
        found: Floats = self.members[self.starts].T @ np.add.reduceat(joint, self.starts, axis=0)
        return found

    def marginals(self) -> Floats:
        """P(fault present) for each of the n faults."""
        found: Floats = self.share @ self.members
        return found


def fault_sets(network: Network, evidence: Mapping[str, float], probabilities: Floats) -> FaultSets:
    """The sets of up to three faults, weighed by the evidence. ``probabilities`` say who may be in threes.

    A set stands once for each way in which its faults may be mild, moderate or severe, where the network tells.
    """
    members = sets_of(network, probabilities)
    hidden = (1.0 - network.leaks) * np.exp(members @ np.log1p(-np.minimum(network.weights, NEARLY)))
    observed = network.by_place(evidence)
    columns, e = (
        np.array(list(observed), dtype=np.intp),
        np.array([float(each) for each in observed.values()]),
    )
    with np.errstate(divide="ignore"):
        priors = np.clip(network.priors, 1e-300, NEARLY)
        odds = members @ (np.log(priors) - np.log1p(-priors))
        logs = odds + np.log(e * (1.0 - hidden[:, columns]) + (1.0 - e) * hidden[:, columns]).sum(axis=1)
    if network.severities is None:
        return _kept(np.arange(len(members)), members, logs, hidden, 1e-9)
    likely = np.flatnonzero(logs > logs.max() + np.log(FAINT))
    ways = severity_ways(network, members[likely])
    found = ways.evidence(network, observed)
    logs = odds[likely][ways.row] + ways.log_share + found
    order = np.argsort(ways.row, kind="stable")
    row = ways.row[order]
    return _kept(row, members[likely][row], logs[order], ways.hidden(network)[order], FAINT)


def _kept(row: NDArray[np.intp], members: Floats, logs: Floats, hidden: Floats, faint: float) -> FaultSets:
    """The sets that are not too faint to matter, their shares 1 in all; ``row`` the set of each, rising."""
    share = np.exp(logs - logs.max())
    keep = share > faint
    share, row = share[keep], row[keep]
    starts = np.flatnonzero(np.diff(row, prepend=-1))
    return FaultSets(members[keep], share / share.sum(), 1.0 - hidden[keep], starts)


def sets_of(network: Network, probabilities: Floats, in_threes: int = MOST_IN_THREES) -> Floats:
    """Rows of 0 and 1: every outcome alone, every fault, every two, and threes of the ``in_threes`` likeliest; each of
    them also beside all that was there before a repair. No set holds only what can't have caused the complaint.
    """
    free = [i for i, fault in enumerate(network.faults) if fault not in network.alone]
    likely = sorted(free, key=lambda i: -probabilities[i])[:in_threes]
    singles = np.eye(len(network.faults))
    twos = _rows(singles, list(combinations(free, 2)))
    threes = _rows(singles, list(combinations(likely, 3)))
    sets = np.vstack((singles, twos, threes))
    if not network.since:
        return sets
    there = np.array([f in network.past for f in network.faults]) & (probabilities >= PROBABLE)
    apart = sets[:, [network.fault(f) for f in network.alone]].any(axis=1)
    beside = np.vstack((there.astype(float), np.maximum(sets[~apart], there)))
    every: Floats = np.unique(np.vstack((sets, beside)), axis=0)
    causes = [i for i, fault in enumerate(network.faults) if fault not in network.since]
    return every[every[:, causes].any(axis=1)]


def _rows(singles: Floats, sets: list[tuple[int, ...]]) -> Floats:
    """A row for each set."""
    rows: Floats = singles[np.array(sets, dtype=np.intp)].sum(axis=1) if sets else singles[:0]
    return rows
