"""How strongly readings speak: against scipy's logistic densities, and Bayes' rule."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.uncertainty.grading import Curve, evidence

PULL = Curve(60.0, 10.0, ((40.0, 0.35), (29.0, 0.4), (18.0, 0.25)))
"""A damper's pull, N: healthy near 60, worn from 40 down to 18 (an estimate, as in the shipped flow)."""


@pytest.mark.parametrize("value", [5.0, 18.0, 33.0, 44.0, 50.0, 60.0, 95.0])
@pytest.mark.parametrize("uncertainty", [0.0, 3.0, 12.0])
def test_the_ratio_is_that_of_scipys_logistic_densities(value, uncertainty):
    stats = pytest.importorskip("scipy.stats")
    scale = math.hypot(10.0, uncertainty) * math.sqrt(3) / math.pi

    def density(at):
        return stats.logistic.pdf(value, loc=at, scale=scale)

    worn = sum(share * density(at) for at, share in PULL.centres)
    assert PULL.log_ratio(value, uncertainty) == pytest.approx(math.log(worn / density(60.0)), abs=1e-9)
    assert stats.logistic.std(loc=0, scale=scale) == pytest.approx(math.hypot(10.0, uncertainty))


@given(st.floats(-50, 150), st.floats(0.01, 50), st.floats(0, 30))
def test_the_further_off_the_louder_it_speaks(value, step, uncertainty):
    nearer, further = (PULL.log_ratio(x, uncertainty) for x in (value + step, value))
    assert further >= nearer - 1e-12


@given(st.lists(st.floats(-6, 6), min_size=1, max_size=5))
def test_the_part_that_is_furthest_off_speaks_for_all(logs):
    """Bayes' rule with even odds."""
    ratio = math.exp(max(logs))
    assert evidence(logs) == pytest.approx(ratio / (1 + ratio))
    assert evidence([*logs, min(logs)]) == evidence(logs)


def test_no_reading_speaks_louder_than_who_measures_is_sure():
    assert evidence([PULL.log_ratio(-1e6, 0.0)]) == pytest.approx(0.999, abs=1e-3)
    assert evidence([PULL.log_ratio(1e6, 0.0)]) >= 0.001 - 1e-12
    with pytest.raises(ValueError, match="at least one"):
        evidence([])


def test_a_reading_too_loose_tells_little():
    assert 0.3 < evidence([PULL.log_ratio(40.0, 500.0)]) < 0.7
