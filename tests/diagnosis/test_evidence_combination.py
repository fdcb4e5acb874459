"""Several answers about one finding."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.diagnosis.evidence_combination import combine_all
from wizard.diagnosis.noisy_or.inference import infer

unit = st.floats(0.0, 1.0, allow_subnormal=False)
inner = st.floats(0.001, 0.999)


@given(unit, unit)
def test_two_do_not_mind_the_order(e1: float, e2: float) -> None:
    """Two answers combine to the same weight either way round, from 0 to 1."""
    assert combine_all([e1, e2]) == combine_all([e2, e1])
    assert 0.0 <= combine_all([e1, e2]) <= 1.0


@given(inner, inner)
def test_it_is_bayes_for_two_witnesses(e1: float, e2: float) -> None:
    """The combined odds are the product of both odds."""
    both = combine_all([e1, e2])
    assert both / (1 - both) == pytest.approx(e1 / (1 - e1) * e2 / (1 - e2), rel=1e-6)


@given(unit)
def test_half_tells_nothing(e: float) -> None:
    """An answer of 0.5 leaves the other as it was."""
    assert combine_all([e, 0.5]) == pytest.approx(e, abs=1e-12)


def test_certain_answers() -> None:
    """A certain answer stays certain; two that contradict each other give 0.5."""
    assert combine_all([1.0, 0.2]) == 1.0 and combine_all([0.0, 0.9]) == 0.0
    assert combine_all([1.0, 0.0]) == 0.5 and combine_all([0.0, 1.0]) == 0.5


@given(st.lists(st.one_of(st.sampled_from([0.0, 1.0]), inner), max_size=4))
def test_combine_all_does_not_mind_the_order(weights: list[float]) -> None:
    """Any order of any answers, certain and contradicting ones among them, gives the same weight."""
    got = {round(combine_all(order), 12) for order in itertools.permutations(weights)}
    assert len(got) == 1


@given(st.lists(inner, min_size=2, max_size=4))
def test_doubtful_answers_combine_one_by_one(weights: list[float]) -> None:
    """All at once are the same as each with what the others before it gave."""
    expected = weights[0]
    for e in weights[1:]:
        expected = combine_all([expected, e])
    assert combine_all(weights) == pytest.approx(expected, abs=1e-9)


def test_combine_all_counts_certain_answers() -> None:
    """More steps that saw it than ruled it out win; a tie leaves the doubtful answers to speak."""
    assert combine_all([1.0, 0.0, 1.0]) == 1.0
    assert combine_all([0.0, 0.0, 1.0]) == 0.0
    assert combine_all([1.0, 0.0, 0.3]) == pytest.approx(0.3)
    assert combine_all([]) == 0.5


@pytest.mark.parametrize("bad", [-0.1, 1.1, float("nan")])
def test_bad_weights_are_named(bad: float) -> None:
    """A weight that isn't from 0 to 1 is a ValueError naming the argument."""
    with pytest.raises(ValueError, match=r"^weights"):
        combine_all([bad])


def test_combined_weight_stands_for_two_virtual_findings() -> None:
    """Weighing a finding by the combined weight moves the faults as weighing it twice does."""
    once = infer([0.1, 0.3], [[0.9], [0.2]], [0.1], {0: combine_all([0.8, 0.6])}).probabilities
    hidden = 0.9 * np.array([[1.0, 0.8], [0.1, 0.08]])
    prior = np.outer([0.9, 0.1], [0.7, 0.3])
    both = prior * (0.8 * 0.6 * (1 - hidden) + 0.2 * 0.4 * hidden)
    np.testing.assert_allclose(once, [both[1].sum() / both.sum(), both[:, 1].sum() / both.sum()], atol=1e-12)
