"""The bounded answer: never further from the exact one than it says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings

from tests.diagnosis.networks import problems, random_network
from wizard.diagnosis import bounded, core, listing
from wizard.diagnosis.given import check


@settings(max_examples=60, deadline=None)
@given(problems())
def test_bound_holds_however_few_sets_are_weighed(problem: tuple) -> None:
    """With a budget of a handful of fault sets, the exact answer lies within the stated bound."""
    hard = core.reduce(check(*problem))
    exact, log_evidence = listing.list_all(hard)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(bounded, "MOST_SETS", 10)
        patch.setattr(bounded, "MOST_BITS", 3)
        near, lower, error = bounded.bound(hard)
    assert np.abs(near - exact).max() <= error + 1e-12
    assert lower <= log_evidence + 1e-9


def test_bound_is_zero_when_every_set_was_weighed() -> None:
    """With few faults nothing is left out and the answer is the exact one."""
    hard = core.reduce(check(*random_network(np.random.default_rng(1), 8, 12), dict.fromkeys(range(12), 1.0)))
    near, _, error = bounded.bound(hard)
    assert error == 0.0
    np.testing.assert_allclose(near, listing.list_all(hard)[0], atol=1e-12)


def test_bound_is_useful_on_a_plausible_machine() -> None:
    """Twenty-four faults of small priors and twenty findings seen, forty ruled out: within 1e-6 of exact."""
    rng = np.random.default_rng(2)
    priors, weights, leaks = random_network(rng, 24, 60, 0.4)
    evidence = dict.fromkeys(range(20), 1.0) | dict.fromkeys(range(20, 60), 0.0)
    _, _, error = bounded.bound(core.reduce(check(priors, weights, leaks, evidence)))
    assert error < 1e-6
