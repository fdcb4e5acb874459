"""The table of likely fault sets, and what a finding would tell."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from tests.helpers.networks import washer_network
from wizard.diagnosis.fault_sets import FaultSets, fault_sets
from wizard.diagnosis.information_gain import answers, entropy, expected_gain
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh

KINDS = ("FL", "TLh", "TLb")


def table(network: Network, evidence: dict[str, float]) -> FaultSets:
    """The likely sets of a network."""
    return fault_sets(network, evidence, weigh(network, evidence).probabilities)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    "evidence", [{}, {"bang-in-ramp": 1.0, "walks": 0.0}, {"roar": 1.0, "rumble": 0.9, "rocks": 1.0}]
)
def test_table_is_close_to_the_exact_posterior(kind: str, evidence: dict[str, float]) -> None:
    """The sets of up to three faults give every probability to within half a percent."""
    network = washer_network(kind)
    exact = weigh(network, evidence).probabilities
    np.testing.assert_allclose(table(network, evidence).marginals(), exact, atol=0.005)


def test_table_is_exact_for_three_faults() -> None:
    """With three faults no set is left out, and shares and shows are what the noisy OR says."""
    network = Network(
        ("a", "b", "c"), ("x", "y"), np.array([0.1, 0.2, 0.3]),
        np.array([[0.9, 0.1], [0.5, 0.0], [0.0, 0.6]]), np.array([0.05, 0.1]),
    )  # fmt: skip
    found = table(network, {"x": 1.0})
    assert len(found.share) == 7 and found.share.sum() == pytest.approx(1.0)
    np.testing.assert_allclose(found.marginals(), weigh(network, {"x": 1.0}).probabilities, atol=1e-12)
    both = np.flatnonzero((found.members == [1, 1, 0]).all(axis=1))[0]
    assert found.shows[both, 0] == pytest.approx(1 - 0.95 * 0.1 * 0.5)


def test_an_outcome_alone_is_in_no_other_set() -> None:
    """'Normal' is a set of its own only."""
    network = washer_network("FL")
    members = table(network, {}).members
    normal = members[:, network.fault("normal")] == 1
    assert normal.sum() == 1 and members[normal].sum() == 1


def test_weights_of_one_are_taken() -> None:
    """A weight of 1 and priors of 0 and 1 don't break the logarithms."""
    network = Network(("a", "b"), ("x",), np.array([0.5, 0.0]), np.array([[1.0], [1.0]]), np.array([0.0]))
    assert table(network, {"x": 1.0}).marginals()[0] == pytest.approx(1.0)


def test_answers_are_all_outcomes_and_average_to_now() -> None:
    """Two findings have four outcomes, whose chances sum to 1 and whose mean is where the faults stand now."""
    network = washer_network("FL")
    found = table(network, {"walks": 1.0})
    outcome = answers(found, (network.finding("rocks"), network.finding("transit-in")))
    assert outcome.chance.shape == (4,) and outcome.chance.sum() == pytest.approx(1.0)
    np.testing.assert_allclose(outcome.marginals @ outcome.chance, found.marginals(), atol=1e-12)


def test_doubt_is_binary_entropy() -> None:
    """Nothing at 0 and 1, log 2 at a half, alike on both sides."""
    np.testing.assert_allclose(entropy(np.array([0.0, 0.5, 1.0])), [0, np.log(2), 0], atol=1e-9)
    np.testing.assert_allclose(entropy(np.array([0.2])), entropy(np.array([0.8])))


@pytest.mark.parametrize("kind", KINDS)
def test_more_findings_never_tell_less(kind: str) -> None:
    """Over all faults, two findings lift at least the doubt that either lifts alone."""
    network = washer_network(kind)
    found = table(network, {"bang-in-ramp": 1.0})
    for one, two in itertools.islice(itertools.combinations(range(9, 24), 2), 30):
        both = expected_gain(found, (one, two)).sum()
        assert both >= max(expected_gain(found, (one,)).sum(), expected_gain(found, (two,)).sum()) - 1e-9


def test_a_check_of_many_findings_counts_the_five_that_tell_most() -> None:
    """Nine findings lift what their best five lift, and no more work is done."""
    network = washer_network("TLb")
    found = table(network, {})
    nine = list(range(9))
    best = sorted(nine, key=lambda j: -expected_gain(found, (j,)).sum())[:5]
    np.testing.assert_allclose(expected_gain(found, nine), expected_gain(found, best))
