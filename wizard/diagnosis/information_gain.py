"""What a finding would tell: how the faults would stand after each of its answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.fault_sets import FaultSets
from wizard.diagnosis.noisy_or.inputs import Floats

# An answer is wrong about once in fifty: an estimate, so that no inspection is thought to be certain.
SLIP = 0.02
# Findings of one inspection that are weighed together, two answers each.
MOST_TOGETHER = 5


@dataclass(frozen=True, slots=True, eq=False)
class InspectionOutcomes:
    """The possible outcomes of an inspection: ``chance`` o, and ``marginals`` n x o, the faults after each."""

    chance: Floats
    marginals: Floats


def entropy(probabilities: Floats) -> Floats:
    """The doubt that remains about each fault, in nats: 0 where it is certain either way, log 2 at a half."""
    p = np.clip(probabilities, 1e-12, 1.0 - 1e-12)
    left: Floats = -(p * np.log(p) + (1.0 - p) * np.log1p(-p))
    return left


def answers(suspects: FaultSets, findings: Sequence[int]) -> InspectionOutcomes:
    """All outcomes of an inspection that tells these findings (places in the network)."""
    joint = suspects.share[:, None]
    for j in findings:
        seen = _seen(suspects.shows[:, j])[:, None]
        joint = np.hstack((joint * seen, joint * (1.0 - seen)))
    return _after(suspects, joint)


def expected_gain(suspects: FaultSets, findings: Sequence[int]) -> Floats:
    """How much doubt about each fault (n, nats) the inspection is expected to lift.

    With more than five findings the five that tell most are counted, so the sum is then too low, not too high.
    """
    observed = list(findings)
    if len(observed) > MOST_TOGETHER:
        observed.sort(key=lambda j: -float(expected_gain(suspects, (j,)).sum()))
        observed = observed[:MOST_TOGETHER]
    outcome = answers(suspects, observed)
    return np.maximum(entropy(suspects.marginals()) - entropy(outcome.marginals) @ outcome.chance, 0.0)


def _seen(shows: Floats) -> Floats:
    """The chance that the answer says 'seen', slips included."""
    return SLIP + (1.0 - 2.0 * SLIP) * shows


def _after(suspects: FaultSets, joint: Floats) -> InspectionOutcomes:
    """Outcomes from the joint weight of each set of faults (rows) and each outcome (columns)."""
    chance = joint.sum(axis=0)
    # Each column sums to its outcome's chance, which the slip keeps above 0.
    return InspectionOutcomes(chance, np.clip(suspects.with_faults(joint) / chance, 0.0, 1.0))
