"""The table of fault sets by severity against the exact posterior, where three faults at once are all there are."""

from __future__ import annotations

import math

import numpy as np

from wizard.diagnosis.fault_sets import fault_sets
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.diagnosis.severity_weights import by_severity


def network(seed: int, faults: int = 3, findings: int = 6) -> Network:
    """A network of so few faults that sets of three are all sets."""
    rng = np.random.default_rng(seed)
    shares = rng.dirichlet([2.0, 2.0, 2.0], faults)
    weights = rng.uniform(0.1, 0.95, (faults, findings))
    apart = by_severity(
        weights, shares, np.broadcast_to(np.array([0.5, 1.0, 2.0])[:, None], (faults, 3, findings))
    )
    return Network(
        tuple(f"f{i}" for i in range(faults)),
        tuple(f"x{j}" for j in range(findings)),
        rng.uniform(0.05, 0.3, faults),
        weights,
        rng.uniform(0.01, 0.2, findings),
        severities=shares,
        by_severity=apart,
        leak_levels=np.array([0.5, 0.3, 0.2]),
    )


def test_the_table_has_the_exact_posterior() -> None:
    """Plain and graded evidence: the marginals of the sets are those of the pass, to what is left out as faint."""
    for seed in range(6):
        one = network(seed)
        evidence = {
            "x0": 1.0,
            "x1": GradedEvidence(0.7, [-0.5, 0.5, 2.0]),
            "x2": 0.0,
            "x3": GradedEvidence(0.3, [1, 0, -3]),
        }
        exact = weigh(one, evidence).probabilities
        np.testing.assert_allclose(fault_sets(one, evidence, exact).marginals(), exact, atol=2e-3)


def test_the_mean_over_severities_is_the_weight() -> None:
    """What a fault of any severity shows is what the flow says, whatever the strengths; and it rises with them."""
    rng = np.random.default_rng(0)
    weights = rng.uniform(0.0, 1.0, (7, 11))
    weights[0, 0], weights[1, 1] = 0.0, 1.0
    shares = rng.dirichlet([1.0, 1.0, 1.0], 7)
    apart = by_severity(weights, shares, np.broadcast_to(np.array([0.4, 1.0, 3.0])[:, None], (7, 3, 11)))
    np.testing.assert_allclose(np.einsum("ns,nsm->nm", shares, apart), weights, atol=1e-9)
    assert (np.diff(apart, axis=1) >= 0.0).all() and (apart <= 1.0).all()


def test_one_severity_by_hand() -> None:
    """A mean of .5 from halves of strength 1 and 2: w and 1 - (1 - w)^2 sum to 1, so w = (3 - sqrt 5) / 2."""
    apart = by_severity(np.array([[0.5]]), np.array([[0.5, 0.5]]), np.array([[[1.0], [2.0]]]))
    assert math.isclose(apart[0, 0, 0], (3.0 - math.sqrt(5.0)) / 2.0, abs_tol=1e-12)
