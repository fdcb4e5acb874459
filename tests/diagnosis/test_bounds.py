"""The bounded answer: never further from the exact one than it says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings

from tests.helpers.networks import problems, random_network
from wizard.diagnosis.noisy_or import bounds, enumeration, reduction
from wizard.diagnosis.noisy_or.inputs import check


@settings(max_examples=60, deadline=None)
@given(problems())
def test_bound_holds_however_few_sets_are_weighed(problem: tuple) -> None:
    """With a budget of a handful of fault sets, the exact answer lies within the stated bound."""
    hard = reduction.reduce(check(*problem))
    exact, log_evidence = enumeration.list_all(hard)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(bounds, "MOST_SETS", 10)
        patch.setattr(bounds, "MOST_BITS", 3)
        near, lower, error = bounds.bound(hard)
    assert np.abs(near - exact).max() <= error + 1e-12
    assert lower <= log_evidence + 1e-9


def test_bound_is_zero_when_every_set_was_weighed() -> None:
    """With few faults nothing is left out and the answer is the exact one."""
    hard = reduction.reduce(
        check(*random_network(np.random.default_rng(1), 8, 12), dict.fromkeys(range(12), 1.0))
    )
    near, _, error = bounds.bound(hard)
    assert error == 0.0
    np.testing.assert_allclose(near, enumeration.list_all(hard)[0], atol=1e-12)


def test_bound_is_useful_on_a_plausible_machine() -> None:
    """Twenty-four faults of small priors and twenty findings seen, forty ruled out: within 1e-6 of exact."""
    rng = np.random.default_rng(2)
    priors, weights, leaks = random_network(rng, 24, 60, 0.4)
    evidence = dict.fromkeys(range(20), 1.0) | dict.fromkeys(range(20, 60), 0.0)
    _, _, error = bounds.bound(reduction.reduce(check(priors, weights, leaks, evidence)))
    assert error < 1e-6
