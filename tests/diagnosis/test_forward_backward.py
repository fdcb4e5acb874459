"""The parts of the exact pass: what is settled beforehand, the order of visits, the pass itself, the list."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given as cases
from hypothesis import settings

from tests.helpers.networks import brute_force, problems, random_network
from wizard.diagnosis.noisy_or import elimination_order, enumeration, forward_backward, reduction
from wizard.diagnosis.noisy_or.inference import infer
from wizard.diagnosis.noisy_or.inputs import check
from wizard.diagnosis.noisy_or.reduction import Impossible


def reduced(priors, weights, leaks, evidence) -> reduction.Core:
    """The core of a problem."""
    return reduction.reduce(check(priors, weights, leaks, evidence))


def certain(hard: reduction.Core) -> np.ndarray:
    """1.0 for faults that were settled as present."""
    return np.where(~hard.open_faults & (hard.absent == -np.inf), 1.0, 0.0)


@settings(max_examples=60, deadline=None)
@cases(problems())
def test_pass_and_list_agree_with_brute_force(problem: tuple) -> None:
    """Both exact ways, whichever would have been chosen, give the oracle's numbers and evidence."""
    expected, total = brute_force(*problem)
    hard = reduced(*problem)
    for answer in (forward_backward.sweep(hard, elimination_order.make(hard)), enumeration.list_all(hard)):
        assert answer is not None
        found, log_evidence = answer
        np.testing.assert_allclose(found[:, 0] + certain(hard), expected, rtol=0, atol=1e-9)
        assert log_evidence == pytest.approx(math.log(total), abs=1e-8)


def test_findings_ruled_out_leave_nothing_to_weigh() -> None:
    """Findings ruled out weigh on each fault alone, so no finding is left open."""
    hard = reduced(*random_network(np.random.default_rng(0), 6, 9), dict.fromkeys(range(9), 0.0))
    assert not hard.open_findings.any() and hard.open_faults.all()


def test_a_finding_with_one_cause_is_settled() -> None:
    """A finding that one fault alone explains moves that fault's odds and is not weighed again."""
    hard = reduced([0.1, 0.1], [[0.9, 0.0], [0.0, 0.8]], [0.1, 0.2], {0: 1.0, 1: 0.7})
    assert not hard.open_findings.any()
    odds = math.exp(hard.present[0, 0] - hard.absent[0])
    assert odds == pytest.approx(0.1 / 0.9 * (0.1 + 0.9 * 0.9) / 0.1)


def test_settling_one_fault_settles_the_next() -> None:
    """A fault proved by one finding explains a second, which then tells of no other fault."""
    hard = reduced([0.1, 0.1], [[0.9, 1.0], [0.0, 0.9]], [0.0, 0.1], {0: 1.0, 1: 1.0})
    assert not hard.open_findings.any() and list(hard.open_faults) == [False, True]
    assert math.exp(hard.present[1, 0] - hard.absent[1]) == pytest.approx(1 / 9)


def test_reducing_keeps_the_evidence() -> None:
    """Whatever is settled beforehand stays in the evidence's weight."""
    problem = ([0.0, 1.0, 0.3], [[0.5, 0.2], [0.5, 0.1], [0.0, 0.9]], [0.1, 0.2], {0: 0.0, 1: 1.0})
    assert infer(*problem).log_evidence == pytest.approx(math.log(brute_force(*problem)[1]), abs=1e-12)


@pytest.mark.parametrize(
    ("finding", "fault", "problem"),
    [
        (0, None, ([0.1], [[0.0]], [0.0], {0: 1.0})),
        (1, None, ([0.1], [[0.5, 0.5]], [0.1, 1.0], {0: 1.0, 1: 0.0})),
        (None, 1, ([0.1, 1.0], [[0.5], [1.0]], [0.1], {0: 0.0})),
        (1, None, ([0.1], [[0.5, 0.5]], [0.1, 1.0], {0: 0.0, 1: 0.0})),
        (0, None, ([0.0, 0.1], [[0.9], [0.0]], [0.0], {0: 1.0})),
        (2, None, ([0.1], [[0.5, 0.5, 0.0]], [0.1, 0.1, 0.0], {0: 0.0, 1: 1.0, 2: 1.0})),
    ],
)
def test_impossible_names_its_culprit(finding, fault, problem) -> None:
    """The error carries the finding or the fault as well as the words."""
    with pytest.raises(Impossible) as caught:
        infer(*problem)
    assert (caught.value.finding, caught.value.fault) == (finding, fault)
    assert str(caught.value).startswith("evidence is impossible: f")


def test_every_finding_is_opened_and_closed_once() -> None:
    """A plan visits each fault once, and each finding enters with its first cause and leaves with its last."""
    hard = reduced(*random_network(np.random.default_rng(7), 12, 14, 0.3), dict.fromkeys(range(14), 1.0))
    made = elimination_order.make(hard)
    assert sorted(visit.fault for visit in made.visits) == list(np.flatnonzero(hard.open_faults))
    opened = [j for visit in made.visits for j in visit.opens]
    closed = [finding.column for visit in made.visits for finding in visit.closes]
    assert sorted(opened) == sorted(closed) == list(np.flatnonzero(hard.open_findings))
    assert 2**made.width == pytest.approx(max(visit.size for visit in made.visits))
    assert made.width <= len(opened)


def test_few_causes_keep_few_findings_in_hand() -> None:
    """In a ring of faults, each finding shared by neighbours, no more than three findings are in hand at once."""
    count = 16
    weights = 0.7 * np.eye(count) + 0.4 * np.roll(np.eye(count), 1, axis=1)
    hard = reduced(np.full(count, 0.1), weights, np.full(count, 0.05), dict.fromkeys(range(count), 1.0))
    assert elimination_order.make(hard).width <= 3


def test_no_open_fault_is_an_empty_plan() -> None:
    """With everything settled the pass has nothing to do and keeps the scale."""
    hard = reduced([0.0, 1.0], [[0.5], [0.5]], [0.1], {0: 1.0})
    made = elimination_order.make(hard)
    assert made.visits == () and made.work == 0 and made.width == 0
    found, log_evidence = forward_backward.sweep(hard, made)
    assert not found.any() and log_evidence == pytest.approx(math.log(0.1 + 0.9 * 0.5))


def test_alternating_sum_would_have_been_wrong() -> None:
    """Fourteen findings seen with leaks of 1e-4: inclusion-exclusion loses its digits where the pass keeps them."""
    rng = np.random.default_rng(14)
    priors, weights, leaks = np.full(5, 1e-4), rng.uniform(0.01, 0.1, (5, 14)), np.full(14, 1e-4)
    evidence = dict.fromkeys(range(14), 1.0)
    expected, total = brute_force(priors, weights, leaks, evidence)
    result = infer(priors, weights, leaks, evidence)
    np.testing.assert_allclose(result.probabilities, expected, rtol=0, atol=1e-9)
    assert math.exp(result.log_evidence) == pytest.approx(total, rel=1e-9)
    assert abs(alternating(priors, weights, leaks) / total - 1) > 1e-3


def alternating(priors: np.ndarray, weights: np.ndarray, leaks: np.ndarray) -> float:
    """P(all findings seen) by inclusion and exclusion over the findings' subsets."""
    count = leaks.size
    subsets = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1
    hidden = np.exp(subsets @ np.log1p(-leaks))
    for q, row in zip(priors, weights, strict=True):
        hidden *= 1 - q + q * np.exp(subsets @ np.log1p(-row))
    return float(((-1.0) ** subsets.sum(axis=1) * hidden).sum())


def test_list_is_chosen_where_it_is_shorter() -> None:
    """Five faults and sixteen findings are listed; twenty-four faults and ten findings are passed over."""
    rng = np.random.default_rng(3)
    assert infer(*random_network(rng, 5, 16), dict.fromkeys(range(16), 1.0)).way == "list"
    assert infer(*random_network(rng, 24, 10), dict.fromkeys(range(10), 1.0)).way == "pass"


def chain_exactly(priors: list[float], weight: float, leak: float) -> tuple[list[float], float]:
    """Posteriors and log evidence of faults in a row, each two neighbours sharing a finding that was seen.

    In fractions, going along the faults and not the findings: no rounding, and nothing in common with the pass.
    """
    odds = [(1 - Fraction(q), Fraction(q)) for q in priors]
    shown = [[1 - (1 - Fraction(leak)) * (1 - Fraction(weight)) ** (a + b) for b in (0, 1)] for a in (0, 1)]
    ahead, back = [odds[0]], [(Fraction(1), Fraction(1))]
    for here in odds[1:]:
        last = ahead[-1]
        ahead.append(tuple(here[b] * sum(last[a] * shown[a][b] for a in (0, 1)) for b in (0, 1)))
    for here in reversed(odds[1:]):
        back.insert(0, tuple(sum(shown[a][b] * here[b] * back[0][b] for b in (0, 1)) for a in (0, 1)))
    total = sum(ahead[-1])
    found = [float(f[1] * b[1] / total) for f, b in zip(ahead, back, strict=True)]
    return found, math.log(total.numerator) - math.log(total.denominator)


def chain(count: int, prior: float, weight: float, leak: float) -> tuple:
    """The same as a problem of the pass."""
    weights = np.zeros((count, count - 1))
    for finding in range(count - 1):
        weights[finding : finding + 2, finding] = weight
    return [prior] * count, weights, [leak] * (count - 1), dict.fromkeys(range(count - 1), 1.0)


@pytest.mark.parametrize(
    ("count", "prior", "weight", "leak"),
    [
        (6, 0.3, 0.7, 0.1),
        (60, 0.2, 1e-7, 1e-8),
        (60, 1e-3, 0.5, 1e-9),
        (40, 0.5, 0.9, 0.2),
        (3, 1e-310, 0.9, 0.1),
    ],
)
def test_a_long_chain_keeps_its_digits(count, prior, weight, leak) -> None:
    """Evidence down to 1e-400 is no number of the machine: the scale goes along. And so are odds of 1e-310."""
    hard = reduced(*chain(count, prior, weight, leak))
    answer = forward_backward.sweep(hard, elimination_order.make(hard))
    assert answer is not None
    expected, log_evidence = chain_exactly([prior] * count, weight, leak)
    np.testing.assert_allclose(answer[0][:, 0], expected, rtol=1e-9, atol=0)
    assert answer[1] == pytest.approx(log_evidence, rel=1e-12)


def test_numbers_that_vanish_are_no_answer() -> None:
    """Two findings of 1e-200 each at once: their product is none, and none is what the pass says."""
    hard = reduced([0.5, 0.5], [[1e-200, 1e-200], [1e-200, 1e-200]], [0.0, 0.0], {0: 1.0, 1: 1.0})
    assert forward_backward.sweep(hard, elimination_order.make(hard)) is None


def test_the_work_is_that_of_each_turn_with_its_findings_in_hand() -> None:
    """Three faults in a row: (1 + 1) * 2, (2 + 1) * 4 with both findings in hand, and (1 + 1) * 2, by hand."""
    made = elimination_order.make(reduced(*chain(3, 0.1, 0.5, 0.1)))
    assert [len(visit.touches) for visit in made.visits] == [1, 2, 1]
    assert [visit.size for visit in made.visits] == [2, 4, 2]
    assert (made.width, made.work) == (2, 4 + 12 + 4)


@pytest.mark.parametrize("seed", range(6))
def test_a_chain_is_gone_along_whatever_the_order_of_its_faults(seed) -> None:
    """What is in hand already costs nothing: two findings at a time are enough."""
    priors, weights, leaks, evidence = chain(11, 0.1, 0.5, 0.1)
    rng = np.random.default_rng(seed)
    shuffled = weights[rng.permutation(11)][:, rng.permutation(10)]
    assert elimination_order.make(reduced(priors, shuffled, leaks, evidence)).width == 2
