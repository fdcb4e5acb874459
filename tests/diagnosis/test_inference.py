"""The posterior against brute force over all subsets, published tables, and its own promises."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.networks import brute_force, posterior, problems, random_network
from wizard.diagnosis.noisy_or.inference import infer

CLOSE = 1e-9

# Russell & Norvig, Artificial Intelligence, the noisy-OR table of fever given cold, flu and malaria
# (the table read in a reprint, the attribution from memory).
FEVER = {
    (0, 0, 0): 0.0,
    (0, 0, 1): 0.9,
    (0, 1, 0): 0.8,
    (0, 1, 1): 0.98,
    (1, 0, 0): 0.4,
    (1, 0, 1): 0.94,
    (1, 1, 0): 0.88,
    (1, 1, 1): 0.988,
}


@pytest.mark.parametrize(("present", "fever"), FEVER.items())
def test_published_noisy_or_table(present: tuple[int, ...], fever: float) -> None:
    """The evidence's probability with the causes fixed is the published table's entry."""
    weights = [[0.4], [0.8], [0.9]]
    ruled_out = infer(present, weights, [0.0], {0: 0.0}).log_evidence if fever < 1 else -math.inf
    assert math.exp(ruled_out) == pytest.approx(1 - fever, abs=1e-12)
    if fever:
        assert math.exp(infer(present, weights, [0.0], {0: 1.0}).log_evidence) == pytest.approx(
            fever, abs=1e-12
        )


def test_leaky_noisy_or_definition() -> None:
    """Leak 0.1 and two causes of 0.2 and 0.4, both present: 0.568 (Pearl 1988, recomputed)."""
    result = infer([1.0, 1.0], [[0.2], [0.4]], [0.1], {0: 1.0})
    assert math.exp(result.log_evidence) == pytest.approx(0.568, abs=1e-12)


@settings(max_examples=100, deadline=None)
@given(problems())
def test_equals_brute_force(problem: tuple) -> None:
    """Any network and evidence, hard and soft: the same as summing over all subsets."""
    priors, weights, leaks, evidence = problem
    expected, total = brute_force(*problem)
    result = infer(priors, weights, leaks, evidence)
    np.testing.assert_allclose(result.probabilities, expected, rtol=0, atol=CLOSE)
    assert result.log_evidence == pytest.approx(math.log(total), abs=1e-8)
    assert result.exact and result.error_bound == 0.0


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("seen", [10, 14])
def test_many_positive_findings_with_tiny_leaks(seed: int, seen: int) -> None:
    """Ten and more findings seen with leaks of 1e-4, where an alternating sum loses every digit."""
    rng = np.random.default_rng(seed)
    priors, weights, leaks = random_network(rng, 9, 18)
    leaks[:] = 1e-4
    evidence = dict.fromkeys(range(seen), 1.0) | {seen: 0.0, seen + 1: float(rng.random())}
    expected, _ = brute_force(priors, weights, leaks, evidence)
    np.testing.assert_allclose(posterior(priors, weights, leaks, evidence), expected, rtol=0, atol=CLOSE)


def test_twelve_faults_against_brute_force() -> None:
    """Twelve faults, twelve findings seen, leaks of 1e-4: 4,096 subsets agree."""
    rng = np.random.default_rng(12)
    priors, weights, _ = random_network(rng, 12, 16, 0.7)
    leaks = np.full(16, 1e-4)
    evidence = dict.fromkeys(range(12), 1.0) | {12: 0.0, 13: 0.3}
    expected, _ = brute_force(priors, weights, leaks, evidence)
    np.testing.assert_allclose(posterior(priors, weights, leaks, evidence), expected, rtol=0, atol=CLOSE)


@settings(max_examples=50, deadline=None)
@given(problems(), st.randoms(use_true_random=False))
def test_order_of_answers_does_not_matter(problem: tuple, random: object) -> None:
    """The same answers in another order give the same numbers, to the bit."""
    priors, weights, leaks, evidence = problem
    items = list(evidence.items())
    random.shuffle(items)  # type: ignore[attr-defined]
    again = posterior(priors, weights, leaks, dict(items))
    assert np.array_equal(again, posterior(priors, weights, leaks, evidence))


def test_no_evidence_gives_the_priors() -> None:
    """Without evidence, or with evidence of 0.5, the priors come back."""
    priors = [0.1, 0.2]
    for evidence in ({}, {0: 0.5}):
        np.testing.assert_allclose(posterior(priors, [[0.5], [0.9]], [0.1], evidence), priors, atol=1e-15)


def test_complaint_conditions_on_at_least_one_fault() -> None:
    """A finding seen that every fault shows for certain, with no leak, divides by 1 - P(no fault)."""
    priors = np.array([0.03, 0.2, 0.1])
    some = 1 - np.prod(1 - priors)
    got = posterior(priors, np.ones((3, 1)), [0.0], {0: 1.0})
    np.testing.assert_allclose(got, priors / some, atol=1e-15)


@pytest.mark.parametrize("e", [0.0, 1.0, 0.3])
def test_certain_priors_stay(e: float) -> None:
    """A prior of 0 or 1 is not moved by any possible evidence."""
    got = posterior([0.0, 1.0, 0.3], [[0.5], [0.5], [0.5]], [0.1], {0: e})
    assert got[0] == 0.0 and got[1] == 1.0 and 0 < got[2] < 1


def test_a_finding_only_one_fault_shows_makes_it_certain() -> None:
    """With no leak, a finding that one fault alone can show proves that fault, which explains others away."""
    got = posterior([0.01, 0.01], [[0.9, 0.9], [0.0, 0.9]], [0.0, 0.1], {0: 1.0, 1: 1.0})
    expected, _ = brute_force([0.01, 0.01], [[0.9, 0.9], [0.0, 0.9]], [0.0, 0.1], {0: 1.0, 1: 1.0})
    assert got[0] == 1.0
    np.testing.assert_allclose(got, expected, atol=1e-14)


IMPOSSIBLE = [
    ("finding 0 was seen", [0.1], [[0.0]], [0.0], {0: 1.0}),
    ("finding 1 was seen", [0.1], [[1.0, 1.0]], [0.0, 0.0], {0: 0.0, 1: 1.0}),
    ("finding 0 is ruled out", [0.1], [[0.5]], [1.0], {0: 0.0}),
    ("fault 0 is certain", [1.0], [[1.0]], [0.1], {0: 0.0}),
    ("finding 0 was seen", [0.0], [[0.9]], [0.0], {0: 1.0}),
]


@pytest.mark.parametrize(("text", "priors", "weights", "leaks", "evidence"), IMPOSSIBLE)
def test_impossible_evidence_is_said(text, priors, weights, leaks, evidence) -> None:
    """Evidence that no set of faults can bring about is an error that names the finding or the fault."""
    with pytest.raises(ValueError, match=f"impossible: {text}"):
        posterior(priors, weights, leaks, evidence)


BAD = [
    ("priors", [math.nan], [[0.5]], [0.1], {}),
    ("priors", [1.2], [[0.5]], [0.1], {}),
    ("priors", [], np.zeros((0, 1)), [0.1], {}),
    ("priors", 0.3, [[0.5]], [0.1], {}),
    ("priors", ["worn"], [[0.5]], [0.1], {}),
    (r"weights\[0, 1\]", [0.1], [[0.5, -0.1]], [0.1, 0.1], {}),
    ("weights", [0.1], [0.5], [0.1], {}),
    ("weights", [0.1], [[0.5], [0.5, 0.2]], [0.1], {}),
    ("weights must be 1 x 2", [0.1], [[0.5]], [0.1, 0.1], {}),
    (r"leaks\[0\]", [0.1], [[0.5]], [math.inf], {}),
    ("evidence", [0.1], [[0.5]], [0.1], {1: 1.0}),
    ("evidence", [0.1], [[0.5]], [0.1], {-1: 1.0}),
    ("evidence", [0.1], [[0.5]], [0.1], {"roar": 1.0}),
    ("evidence", [0.1], [[0.5]], [0.1], {True: 1.0}),
    (r"evidence\[0\]", [0.1], [[0.5]], [0.1], {0: math.nan}),
    (r"evidence\[0\]", [0.1], [[0.5]], [0.1], {0: 1.5}),
    (r"evidence\[0\]", [0.1], [[0.5]], [0.1], {0: None}),
]


@pytest.mark.parametrize(("name", "priors", "weights", "leaks", "evidence"), BAD)
def test_bad_input_names_the_argument(name, priors, weights, leaks, evidence) -> None:
    """Anything but probabilities of the right shape is a ValueError that names the argument and the place."""
    with pytest.raises(ValueError, match=f"^{name}"):
        posterior(priors, weights, leaks, evidence)


def test_exact_with_twenty_faults_however_many_findings() -> None:
    """Twenty faults and forty findings seen are still weighed exactly."""
    rng = np.random.default_rng(20)
    result = infer(*random_network(rng, 20, 40), dict.fromkeys(range(40), 1.0))
    assert result.exact and result.way == "list"


def test_twenty_one_faults_are_listed_if_the_work_allows() -> None:
    """Where the pass is too wide, up to 22 faults are listed, but not beyond the work allowed."""
    rng = np.random.default_rng(21)
    problem = (*random_network(rng, 21, 30), dict.fromkeys(range(30), 0.7))
    near = infer(*problem, most_work=1 << 20)
    exact = infer(*problem)
    assert near.way == "bounded" and exact.way == "list"
    assert np.abs(near.probabilities - exact.probabilities).max() <= near.error_bound


def test_exact_with_sixteen_findings_however_many_faults() -> None:
    """Sixty faults and sixteen findings seen are still weighed exactly, whatever the work allowed."""
    rng = np.random.default_rng(16)
    result = infer(*random_network(rng, 60, 16, 0.3), dict.fromkeys(range(16), 1.0), most_work=1)
    assert result.exact and result.way == "pass"


def test_few_causes_a_finding_stay_exact_far_beyond() -> None:
    """Forty faults in four chains, each finding shared by two neighbours, are exact with all forty seen."""
    one = 0.8 * np.eye(10) + 0.4 * np.eye(10, k=1)
    weights = np.kron(np.eye(4), one)
    result = infer(np.full(40, 0.1), weights, np.full(40, 0.01), dict.fromkeys(range(40), 1.0))
    expected, _ = brute_force(np.full(10, 0.1), one, np.full(10, 0.01), dict.fromkeys(range(10), 1.0))
    assert result.exact
    np.testing.assert_allclose(result.probabilities, np.tile(expected, 4), atol=CLOSE)


def test_too_much_is_said_and_bounded() -> None:
    """Past the exact ways the answer says that it is not exact, and how far off it may be."""
    rng = np.random.default_rng(5)
    result = infer(*random_network(rng, 26, 26), dict.fromkeys(range(26), 1.0))
    assert not result.exact and 0 < result.error_bound <= 1


@pytest.mark.parametrize("seen", [6, 12, 16])
def test_numbers_too_small_for_the_pass_fall_back_to_the_list(seen: int) -> None:
    """Leaks and weights of 1e-25 underflow any plain product of them; the answer is right all the same."""
    rng = np.random.default_rng(seen)
    weights, leaks = rng.uniform(0.5, 1, (5, seen)) * 1e-25, np.full(seen, 1e-25)
    got = posterior(np.full(5, 0.1), weights, leaks, dict.fromkeys(range(seen), 1.0))
    # Dividing every small number by 1e-25 changes nothing but the scale: P(seen) is all but a sum.
    expected = _of_small_sums(np.full(5, 0.1), weights / 1e-25)
    np.testing.assert_allclose(got, expected, atol=CLOSE)


def _of_small_sums(priors: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """The posterior where each finding's probability is its leak of 1 plus the weights of what is present."""
    sets = (np.arange(1 << priors.size)[:, None] >> np.arange(priors.size)) & 1
    share = np.prod(np.where(sets, priors, 1 - priors), axis=1) * np.prod(1 + sets @ weights, axis=1)
    return share @ sets / share.sum()
