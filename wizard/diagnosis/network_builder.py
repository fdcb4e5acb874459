"""The network of one machine, built from a flow and the facts of the machine."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from wizard.diagnosis.network_model import Network
from wizard.diagnosis.severity_weights import by_severity
from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.model import Fault, Finding, Flow, fits

SURE = 1.0 - 1e-6
"""No number of a flow is surer: whatever is answered can be so, if only by a mistake."""


def build(flow: Flow, machine: Mapping[str, str]) -> Network:
    """The faults this machine can have and the findings that apply to it.

    ``machine`` maps the ids of machine facts to the values answered; the fact that ``flow.kind`` names decides
    the shares. A share is percent of the complaints of that kind; the prior is the flow's occupancy times it.
    Raises ValueError if the kind isn't answered or no fault has a share of it.
    """
    kind = machine.get(flow.kind)
    if kind is None:
        raise ValueError(f"machine has no answer for {flow.kind!r}, on which the faults depend")
    faults = [
        fault
        for fault in flow.faults.values()
        if fault.share.get(kind, 0.0) > 0.0 and fault.may_be(kind, machine)
    ]
    if not faults:
        raise ValueError(f"machine: no fault of flow {flow.id!r} has a share of {flow.kind} {kind!r}")
    findings = [finding for finding in flow.findings.values() if fits(finding.applies, machine)]
    weights = np.array(
        [[finding.weights.get(fault.id, 0.0) for finding in findings] for fault in faults], dtype=float
    ).reshape(len(faults), len(findings))
    weights = np.minimum(weights, SURE)
    shares = np.array([severity_shares(flow, fault) for fault in faults])
    strengths = np.array([finding_strengths(flow, finding) for finding in findings]).reshape(
        -1, len(FaultSeverity)
    )
    apart = by_severity(weights, shares, np.broadcast_to(strengths.T, (len(faults), *strengths.T.shape)))
    return Network(
        faults=tuple(fault.id for fault in faults),
        findings=tuple(finding.id for finding in findings),
        priors=np.array([flow.occupancy * fault.share[kind] / 100.0 for fault in faults]),
        weights=weights,
        leaks=np.clip(np.array([finding.leak for finding in findings], dtype=float), 1.0 - SURE, SURE),
        alone=tuple(fault.id for fault in faults if fault.alone),
        fault_says={fault.id: fault.says for fault in faults},
        finding_says={finding.id: finding.says for finding in findings},
        severities=shares,
        by_severity=apart,
        leak_levels=np.array([flow.severity.get(s, 0.0) for s in FaultSeverity])
        / sum(flow.severity.values()),
    )


@dataclass(frozen=True, slots=True)
class Networks:
    """The networks of a flow's machines, each built once: machines differ in much that no network depends on."""

    flow: Flow
    deciding: tuple[str, ...]
    built: dict[tuple[str | None, ...], Network] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, flow: Flow) -> Networks:
        """None built yet."""
        conditions = (
            *(finding.applies for finding in flow.findings.values()),
            *(fault.unless for fault in flow.faults.values()),
        )
        return cls(flow, tuple(sorted({flow.kind, *(fact for facts in conditions for fact in facts)})))

    def of_machine(self, machine: Mapping[str, str]) -> Network:
        """As ``build``."""
        key = tuple(map(machine.get, self.deciding))
        if key not in self.built:
            self.built[key] = build(self.flow, machine)
        return self.built[key]


def severity_shares(flow: Flow, fault: Fault) -> list[float]:
    """How often the fault is mild, moderate, severe; 1 in all."""
    shares = [(fault.severity or flow.severity).get(severity, 0.0) for severity in FaultSeverity]
    return [share / math.fsum(shares) for share in shares]


def finding_strengths(flow: Flow, finding: Finding) -> list[float]:
    """How strongly faults show the finding when mild, moderate, severe: by itself, else as the flow says."""
    own = finding.strength or flow.strength
    return [own.get(severity, 1.0) for severity in FaultSeverity]
