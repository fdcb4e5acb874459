"""What one check is expected to save: the doubt it lifts, times what that doubt costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.checks import Candidate
from wizard.diagnosis.given import Floats
from wizard.diagnosis.model import Network
from wizard.diagnosis.suspects import Suspects
from wizard.diagnosis.tells import relieved


@dataclass(frozen=True, slots=True)
class Weighed:
    """A check and what it is expected to save, and the fault it tells most of."""

    candidate: Candidate
    saves: float
    about: str


def weighed(
    network: Network, table: Suspects, candidate: Candidate, evidence: Mapping[str, float], prices: Floats
) -> Weighed:
    """What the check would save. Findings that have an answer already tell nothing new."""
    if not (candidate.minutes >= 0.0 and candidate.people >= 1):
        raise ValueError(f"candidates: {candidate.id!r} needs minutes of 0 or more and at least one person")
    chances = {network.finding(name): chance for name, chance in candidate.gives.items()}
    if not all(0.0 <= chance <= 1.0 for chance in chances.values()):
        raise ValueError(f"candidates: {candidate.id!r} gives a finding with a chance that isn't from 0 to 1")
    told = network.told(evidence)
    unasked = [j for j in chances if told.get(j, 0.5) == 0.5]
    if not unasked:
        return Weighed(candidate, 0.0, "")
    # Findings of one check are taken to be obtained together, with their mean chance.
    obtained = sum(chances[j] for j in unasked) / len(unasked)
    lifted = relieved(table, unasked) * obtained
    return Weighed(candidate, float(lifted @ prices), network.faults[int(np.argmax(lifted))])
