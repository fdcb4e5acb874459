"""What one inspection is expected to save: the doubt it lifts, times what that doubt costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.fault_sets import FaultSets
from wizard.diagnosis.information_gain import expected_gain
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.next_inspection.candidates import InspectionCandidate
from wizard.diagnosis.noisy_or.inputs import Floats


@dataclass(frozen=True, slots=True)
class InspectionValue:
    """An inspection and what it is expected to save, and the fault it tells most of."""

    candidate: InspectionCandidate
    saves: float
    about: str


def inspection_value(
    network: Network,
    table: FaultSets,
    candidate: InspectionCandidate,
    evidence: Mapping[str, float],
    prices: Floats,
) -> InspectionValue:
    """What the inspection would save. Findings that have an answer already tell nothing new."""
    if not (candidate.minutes >= 0.0 and candidate.people >= 1):
        raise ValueError(f"candidates: {candidate.id!r} needs minutes of 0 or more and at least one person")
    chances = {network.finding(name): chance for name, chance in candidate.gives.items()}
    if not all(0.0 <= chance <= 1.0 for chance in chances.values()):
        raise ValueError(f"candidates: {candidate.id!r} gives a finding with a chance that isn't from 0 to 1")
    observed = network.by_place(evidence)
    unasked = [j for j in chances if observed.get(j, 0.5) == 0.5]
    if not unasked:
        return InspectionValue(candidate, 0.0, "")
    # Findings of one inspection are taken to be obtained together, with their mean chance.
    obtained = sum(chances[j] for j in unasked) / len(unasked)
    lifted = expected_gain(table, unasked) * obtained
    lifted[[network.fault(fault) for fault in network.past]] = 0.0
    return InspectionValue(candidate, float(lifted @ prices), network.faults[int(np.argmax(lifted))])
