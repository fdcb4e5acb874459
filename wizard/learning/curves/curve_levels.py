"""How likely a finding is not to be there, or to be shown by a mild, moderate or severe fault at the worst, where the
faults are known and their severities are not: as the network has it (a noisy maximum with a leak).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from wizard.diagnosis.network_builder import SURE, finding_strengths, severity_shares
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.severity_weights import by_severity
from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.model import Finding, Flow


def flow_shares(flow: Flow) -> Floats:
    """Return how often a fault is mild, moderate, severe by the flow (S), 1 in all."""
    shares = np.array([flow.severity.get(severity, 0.0) for severity in FaultSeverity])
    whole: Floats = shares / shares.sum()
    return whole


class SeverityLevels:
    """The levels of a flow's findings, by its weights; what a fault adds to one is computed once."""

    def __init__(self, flow: Flow) -> None:
        self._flow = flow
        self._shown: dict[tuple[str, str], Floats] = {}

    def chances(self, finding: str, faults: Iterable[str]) -> Floats:
        """Return how likely the finding is at each level (1 + S): not there, then at each severity; 1 in all."""
        own = self._flow.findings[finding]
        leak = min(max(own.leak, 1.0 - SURE), SURE)
        below = 1.0 - leak * _at_or_above(flow_shares(self._flow))
        for fault in faults:
            if own.weights.get(fault, 0.0) > 0.0 and fault in self._flow.faults:
                below = below * (1.0 - _at_or_above(self._severities(own, fault)))
        chances: Floats = np.diff(np.append(below, 1.0), prepend=0.0)
        return chances

    def _severities(self, finding: Finding, fault: str) -> Floats:
        """How often a fault is there at each severity (S) and shows the finding."""
        key = (finding.id, fault)
        if key not in self._shown:
            shares = np.array(severity_shares(self._flow, self._flow.faults[fault]))
            strengths = np.array(finding_strengths(self._flow, finding))
            weight = np.array([[min(finding.weights[fault], SURE)]])
            shown = by_severity(weight, shares[None], strengths[None, :, None])[0, :, 0]
            self._shown[key] = shares * shown
        return self._shown[key]


def _at_or_above(each: Floats) -> Floats:
    """From how often each severity shows, how often one as bad or worse does (S)."""
    worse: Floats = np.cumsum(each[::-1])[::-1]
    return worse


def log_likely(flow: Flow, faults: Iterable[str], told: Iterable[tuple[str, float]]) -> float:
    """Return the log of how likely this evidence is, finding by finding, with exactly these faults."""
    some, total = tuple(faults), 0.0
    for finding, e in told:
        own = flow.findings[finding]
        hidden = 1.0 - min(max(own.leak, 1.0 - SURE), SURE)
        for fault in some:
            hidden *= 1.0 - min(own.weights.get(fault, 0.0), SURE)
        total += math.log(max(e * (1.0 - hidden) + (1.0 - e) * hidden, 1e-300))
    return total
