"""Faults of several severities: the posterior against brute force over every state, and its own promises."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.networks import inner, random_network, weight
from wizard.diagnosis.evidence_combination import combined
from wizard.diagnosis.noisy_or import bounds, elimination_order, enumeration, reduction
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.diagnosis.noisy_or.inference import PosteriorWay, infer
from wizard.diagnosis.noisy_or.inputs import check

CLOSE = 1e-9


def every_state(
    priors: Any, weights: Any, leaks: Any, evidence: Mapping[int, float], severities: Any, leak_levels: Any
) -> tuple[np.ndarray, float]:
    """P(fault at severity | evidence), n x s, and the evidence's weight: each state of each fault, term by term.

    A graded finding's level is the worst of those that the faults there and the leak bring about, each on its own:
    its distribution is the product of theirs, summed up to each level.
    """
    count, kinds = len(priors), len(leak_levels)
    found = np.zeros((count, kinds))
    total = 0.0
    for state in itertools.product(range(1 + kinds), repeat=count):
        term = 1.0
        for i, at in enumerate(state):
            term *= priors[i] * severities[i][at - 1] if at else 1 - priors[i]
        for j, e in evidence.items():
            causes = [(leaks[j] * leak_levels[s], s) for s in range(kinds)]
            up_to = [1 - leaks[j] + sum(w for w, s in causes if s < x) for x in range(1 + kinds)]
            for i, at in enumerate(state):
                for x in range(at):
                    up_to[x] *= 1 - weights[i][at - 1][j]
            if isinstance(e, GradedEvidence):
                like = e.likelihoods
                term *= sum(like[x] * (up_to[x] - (up_to[x - 1] if x else 0.0)) for x in range(1 + kinds))
            else:
                term *= e * (1 - up_to[0]) + (1 - e) * up_to[0]
        total += term
        for i, at in enumerate(state):
            if at:
                found[i, at - 1] += term
    return found / total, total


@st.composite
def of_severities(
    draw: st.DrawFn, most_faults: int = 5, most_findings: int = 6, kinds: int = 3
) -> tuple[Any, ...]:
    """A random network whose faults have severities, with hard, soft and graded evidence."""
    n, m = draw(st.integers(1, most_faults)), draw(st.integers(1, most_findings))
    priors = draw(st.lists(inner, min_size=n, max_size=n))
    cube = st.lists(st.lists(weight, min_size=m, max_size=m), min_size=kinds, max_size=kinds)
    weights = draw(st.lists(cube, min_size=n, max_size=n))
    leaks = draw(st.lists(st.sampled_from([1e-4, 1e-3, 0.02, 0.1, 0.5]), min_size=m, max_size=m))
    shares = np.array(
        draw(st.lists(st.lists(inner, min_size=kinds, max_size=kinds), min_size=n + 1, max_size=n + 1))
    )
    shares /= shares.sum(axis=1, keepdims=True)
    ratios = st.lists(st.floats(-6.0, 6.0), min_size=kinds, max_size=kinds)
    graded = st.builds(GradedEvidence, inner, ratios)
    value = st.one_of(st.just(0.0), st.just(1.0), inner, graded, graded)
    evidence = draw(st.dictionaries(st.integers(0, m - 1), value))
    return priors, weights, leaks, evidence, shares[:-1], shares[-1]


@settings(max_examples=120, deadline=None)
@given(of_severities())
def test_equals_brute_force_over_every_state(problem: tuple) -> None:
    """Hard, soft and graded evidence, each fault absent, mild, moderate or severe: the same to 1e-9."""
    priors, weights, leaks, evidence, severities, levels = problem
    expected, total = every_state(*problem)
    result = infer(priors, weights, leaks, evidence, severities=severities, leak_levels=levels)
    np.testing.assert_allclose(result.severities, expected, rtol=0, atol=CLOSE)
    np.testing.assert_allclose(result.probabilities, expected.sum(axis=1), rtol=0, atol=CLOSE)
    assert result.log_evidence == pytest.approx(math.log(total), abs=1e-8)
    assert result.exact


@settings(max_examples=60, deadline=None)
@given(of_severities(most_faults=4))
def test_the_list_of_all_states_says_the_same(problem: tuple) -> None:
    """The other exact way, whichever is shorter."""
    priors, weights, leaks, evidence, severities, levels = problem
    hard = reduction.reduce(check(priors, weights, leaks, evidence, severities, levels))
    found, log_evidence = enumeration.list_all(hard)
    expected, total = every_state(*problem)
    for i in np.flatnonzero(hard.open_faults):
        np.testing.assert_allclose(found[i], expected[i], rtol=0, atol=CLOSE)
    assert log_evidence == pytest.approx(math.log(total), abs=1e-8)


@settings(max_examples=80, deadline=None)
@given(of_severities(most_faults=4, most_findings=5), st.sampled_from([2, 10, 40]))
def test_bounds_hold_with_next_to_no_budget(problem: tuple, most_sets: int) -> None:
    """A handful of sets and two findings kept exact: the exact answer lies within the stated bound."""
    priors, weights, leaks, evidence, severities, levels = problem
    hard = reduction.reduce(check(priors, weights, leaks, evidence, severities, levels))
    exact, log_evidence = enumeration.list_all(hard)
    exact = np.where(hard.open_faults[:, None], exact, 0.0)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(bounds, "MOST_SETS", most_sets)
        patch.setattr(bounds, "MOST_BITS", 2)
        found, lower, error = bounds.bound(hard)
    apart = np.abs(found.sum(axis=1) - exact.sum(axis=1))[hard.open_faults]
    assert apart.max(initial=0.0) <= error + 1e-9
    assert lower <= log_evidence + 1e-8


def test_severities_all_alike_are_one() -> None:
    """Where a fault shows alike at every severity, it is as likely as one without; and each severity as before."""
    rng = np.random.default_rng(5)
    priors, weights, leaks = random_network(rng, 8, 10)
    shares = np.tile([0.2, 0.5, 0.3], (8, 1))
    evidence = dict.fromkeys(range(6), 1.0) | {6: 0.0, 7: 0.3}
    one = infer(priors, weights, leaks, evidence)
    told = infer(priors, np.repeat(weights[:, None], 3, axis=1), leaks, evidence, severities=shares)
    np.testing.assert_allclose(told.probabilities, one.probabilities, rtol=0, atol=CLOSE)
    np.testing.assert_allclose(told.severities, one.probabilities[:, None] * shares, rtol=0, atol=CLOSE)


def test_a_reading_that_only_severe_faults_give_says_severe() -> None:
    """One fault, one graded finding: Bayes by hand. Prior .1 parted .5, .3, .2; ratios 1, 2, 8; weight .9, leak .02."""
    e = GradedEvidence(0.8, [0.0, math.log(2.0), math.log(8.0)])
    leak = 0.98 + 0.02 * np.mean([1.0, 2.0, 8.0])
    with_fault = []
    for s, ratio in enumerate((1.0, 2.0, 8.0)):
        lower = 0.98 + 0.02 / 3 * sum((1.0, 2.0, 8.0)[:s])
        above = 0.02 / 3 * sum((1.0, 2.0, 8.0)[s + 1 :])
        there = (0.98 + 0.02 / 3 * (s + 1)) * ratio + above
        own = 0.02 / 3 * ratio
        with_fault.append((0.5, 0.3, 0.2)[s] * (0.9 * there + 0.1 * (lower + own + above)))
    terms = np.array([*(0.1 * np.array(with_fault)), 0.9 * leak])
    expected = terms / terms.sum()
    weights = np.full((1, 3, 1), 0.9)
    found = infer([0.1], weights, [0.02], {0: e}, severities=[[0.5, 0.3, 0.2]]).severities[0]
    np.testing.assert_allclose(found, expected[:3], atol=1e-12)


def test_combined_grades_add_up_and_certainty_stays() -> None:
    """Two readings and a plain word: their log ratios sum; a finding that was seen is seen at every severity."""
    one, other = GradedEvidence(0.7, [0.1, 0.5, 1.5]), GradedEvidence(0.6, [1.0, 0.2, -0.5])
    both = combined([one, other, 0.75])
    assert isinstance(both, GradedEvidence)
    assert both.log_ratios == pytest.approx([1.1 + math.log(3), 0.7 + math.log(3), 1.0 + math.log(3)])
    assert not isinstance(combined([one, 1.0]), GradedEvidence) and combined([one, 1.0]) == 1.0
    assert combined([0.4, 0.7]) == pytest.approx(0.4 * 0.7 / (0.4 * 0.7 + 0.6 * 0.3))


@pytest.mark.parametrize(("faults", "seen", "filled", "most"), [(30, 20, 1.0, 0.15), (24, 18, 0.4, 0.2)])
def test_many_seen_leave_a_bound_that_says_something(
    faults: int, seen: int, filled: float, most: float
) -> None:
    """Where no exact way is short: two findings in three seen on faults that may show all of them."""
    priors, weights, leaks = random_network(np.random.default_rng(11), faults, seen, filled)
    hard = reduction.reduce(check(priors, weights, leaks, dict.fromkeys(range(seen), 1.0)))
    assert bounds.bound(hard)[2] < most


def test_the_bound_holds_against_the_exact_pass_on_a_large_network() -> None:
    """Eighteen seen on 24 faults of which each shows two findings in five."""
    priors, weights, leaks = random_network(np.random.default_rng(11), 24, 18, 0.4)
    evidence = dict.fromkeys(range(18), 1.0)
    exact = infer(priors, weights, leaks, evidence)
    near, lower, error = bounds.bound(reduction.reduce(check(priors, weights, leaks, evidence)))
    assert exact.way is PosteriorWay.PASS
    assert np.abs(near.sum(axis=1) - exact.probabilities).max() <= error
    assert lower <= exact.log_evidence


def test_much_work_is_planned_more_than_once() -> None:
    """Graded findings of many faults: of all plans with another fault first the shortest is taken."""
    rng = np.random.default_rng(7)
    priors, weights, leaks = random_network(rng, 20, 16, 0.4)
    shares = np.tile([0.3, 0.4, 0.3], (20, 1))
    evidence = {j: GradedEvidence(0.7, [0.5, 1.0, 2.0]) if j < 6 else 1.0 for j in range(16)}
    hard = reduction.reduce(check(priors, np.repeat(weights[:, None], 3, axis=1), leaks, evidence, shares))
    once, best = elimination_order._greedy(hard, None), elimination_order.make(hard)
    assert once.work > elimination_order.EASY and best.work < once.work
    assert sorted(visit.fault for visit in best.visits) == list(np.flatnonzero(hard.open_faults))
