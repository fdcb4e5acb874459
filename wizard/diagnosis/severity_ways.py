"""Sets of faults in every way in which these may be mild, moderate or severe, and what each way would show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.network_model import Network
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.diagnosis.noisy_or.inputs import Floats

MOST_PARTED = 3
"""So many faults of a set are parted by severity; others, repaired before, count as of any."""
NEARLY = 1.0 - 1e-12
"""A weight of 1 as near as a logarithm takes it."""


@dataclass(frozen=True, slots=True, eq=False)
class SeverityWays:
    """r ways: ``row`` the set of each, ``log_share`` how likely it is of that set (log), and ``thetas`` s x r x m: the
    sum of -log(1 - weight) over those of its faults that are of that severity.
    """

    row: NDArray[np.intp]
    log_share: Floats
    thetas: Floats

    def hidden(self, network: Network) -> Floats:
        """P(finding not shown | this way), r x m."""
        found: Floats = (1.0 - network.leaks) * np.exp(-self.thetas.sum(axis=0))
        return found

    def evidence(self, network: Network, observed: Mapping[int, float]) -> Floats:
        """Log of how likely all evidence (by place) is in each way, r."""
        logs: Floats = self.each(network, observed).sum(axis=0)
        return logs

    def each(self, network: Network, observed: Mapping[int, float]) -> Floats:
        """Log of how likely each piece of evidence (by place, k of them) is in each way, k x r."""
        logs = np.zeros((len(observed), self.row.size))
        with np.errstate(divide="ignore"):
            for place, (j, e) in enumerate(observed.items()):
                if isinstance(e, GradedEvidence):
                    logs[place] = np.log(self._graded(network, j, e))
                    continue
                hidden = (1.0 - network.leaks[j]) * np.exp(-self.thetas[:, :, j].sum(axis=0))
                logs[place] = np.log(float(e) * (1.0 - hidden) + (1.0 - float(e)) * hidden)
        return logs

    def _graded(self, network: Network, finding: int, e: GradedEvidence) -> Floats:
        """How likely graded evidence is in each way, by the worst severity that shows the finding."""
        assert network.leak_levels is not None
        found, below = np.zeros(self.row.size), np.zeros(self.row.size)
        for level, like in enumerate(e.likelihoods):
            above = self.thetas[level:, :, finding].sum(axis=0)
            leak = 1.0 - network.leaks[finding] * network.leak_levels[level:].sum()
            up_to = leak * np.exp(-above)
            found += like * np.maximum(up_to - below, 0.0)
            below = up_to
        return found


def severity_ways(network: Network, members: Floats) -> SeverityWays:
    """Every way of these sets (h x n, 0 or 1): three severities of each of their faults, up to three faults a set."""
    shares, weights = network.by_severities
    thetas = -np.log1p(-np.minimum(weights, NEARLY))
    mean = -np.log1p(-np.minimum(network.weights, NEARLY))
    kinds = shares.shape[1]
    rows, logs, sums = [], [], []
    counts = members.sum(axis=1).astype(int)
    for count in np.unique(counts):
        some = np.flatnonzero(counts == count)
        faults = np.nonzero(members[some])[1].reshape(some.size, count)
        # Those that may be a cause now come first: what was repaired before is parted last.
        past = np.isin(np.array(network.faults), list(network.past))
        faults = np.take_along_axis(faults, np.argsort(past[faults], axis=1, kind="stable"), axis=1)
        parted, others = faults[:, :MOST_PARTED], faults[:, MOST_PARTED:]
        for way in product(range(kinds), repeat=parted.shape[1]):
            part = np.zeros((kinds, some.size, network.leaks.size))
            part[kinds // 2] += mean[others].sum(axis=1)
            log = np.zeros(some.size)
            for place, severity in enumerate(way):
                part[severity] += thetas[parted[:, place], severity]
                log += np.log(np.maximum(shares[parted[:, place], severity], 1e-300))
            rows.append(some)
            logs.append(log)
            sums.append(part)
    return SeverityWays(np.concatenate(rows), np.concatenate(logs), np.concatenate(sums, axis=1))
