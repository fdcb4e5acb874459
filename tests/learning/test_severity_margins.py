"""What is learned of a fault of any severity is right in a network that tells severities apart.

With the faults known and their severities not, one finding's likelihood is that of the noisy OR with the mean weights:
so the learner's likelihood and its gradient must be the network's own.
"""

from __future__ import annotations

import numpy as np
import pytest

from wizard.diagnosis.noisy_or.inference import infer
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.severity_weights import by_severity
from wizard.learning.optimum.noisy_or_fit import BetaPrior, FindingCases, cost, number_of

SHARES, STRENGTHS = np.array([0.35, 0.4, 0.25]), np.array([0.5, 1.0, 2.0])


def network_log(theta: Floats, there: Floats, e: float) -> float:
    """Log of how likely one finding's evidence is by the network, its faults certain or excluded."""
    numbers, faults = number_of(theta), theta.size - 1
    shares = np.tile(SHARES, (faults, 1))
    weights = by_severity(numbers[1:, None], shares, np.broadcast_to(STRENGTHS[:, None], (faults, 3, 1)))
    return infer(there[1:], weights, numbers[:1], {0: e}, severities=shares).log_evidence


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("e", [0.0, 1.0])
def test_the_learners_gradient_is_that_of_the_networks_own_likelihood(seed: int, e: float) -> None:
    """Central differences of the network's log likelihood against the learner's slope, and the values themselves."""
    rng = np.random.default_rng(seed)
    theta = rng.uniform(0.05, 2.0, 4)
    there = np.array([1.0, *(rng.random(3) < 0.6).astype(float)])
    some = FindingCases(there[None], np.array([e]), np.ones(1), np.array([e]))
    none = BetaPrior.around(np.full(4, 0.5), 0.0)
    value, slope, _ = cost(theta, some, none)
    assert -network_log(theta, there, e) == pytest.approx(value, abs=1e-9)
    step = 1e-5
    for k in range(4):
        off = np.eye(4)[k] * step
        found = -(network_log(theta + off, there, e) - network_log(theta - off, there, e)) / (2 * step)
        assert found == pytest.approx(slope[k], rel=1e-4, abs=1e-7)
