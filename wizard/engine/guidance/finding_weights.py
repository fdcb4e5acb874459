"""Of some faults, the one answered finding that moved each of them furthest down, and where it was asked."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from wizard.domain.references import StepRef
from wizard.engine.guidance.evidence_columns import heard
from wizard.engine.guidance.session_ranking import base_network, machine_network, network_evidence
from wizard.engine.state.job_view import JobView

NEUTRAL = 0.5
"""The evidence that says nothing of a finding."""


@dataclass(frozen=True, slots=True)
class FindingWeight:
    """A finding in words, whether it was ``found``, how the steps spoke of it (evidence from 0 to 1), and the log odds
    (nats, below 0) that it moved the fault by.
    """

    says: str
    found: bool
    heard: Mapping[StepRef, float]
    weight: float

    @property
    def differs(self) -> bool:
        """True where one step found it, and another that it was not there."""
        return min(self.heard.values()) < NEUTRAL < max(self.heard.values())


def weightiest_against(view: JobView, faults: Collection[str]) -> dict[str, FindingWeight]:
    """By fault; not those that the machine's network hasn't got, or that no answer speaks against."""
    network, base = machine_network(view), base_network(view)
    if network is None or base is None:
        return {}
    from wizard.diagnosis import explanation

    known = [f for f in faults if f in network.faults]
    evidence, by_step = network_evidence(network, view), heard(base, view)
    heaviest = explanation.heaviest_against(network, evidence, known) if known else {}
    return {
        fault: FindingWeight(
            network.say_finding(w.finding),
            w.e > NEUTRAL,
            {StepRef(*where): e for where, e in by_step[w.finding].items()},
            w.weight,
        )
        for fault, w in heaviest.items()
    }


def chances_at_first(view: JobView) -> dict[str, float]:
    """How likely each fault of this machine is before anything is answered, by the complaint alone."""
    network = machine_network(view)
    if network is None:
        return {}
    from wizard.diagnosis.network_posterior import weigh

    return dict(zip(network.faults, map(float, weigh(network, {}).probabilities), strict=True))
