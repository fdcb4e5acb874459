"""How strongly readings speak: against scipy's logistic densities, and Bayes' rule."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.domain.vocabulary import FaultSeverity
from wizard.measure.uncertainty.grading import Curve, evidence, word_ratios

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


@pytest.mark.parametrize("value", [10.0, 18.0, 29.0, 40.0, 60.0])
def test_each_severity_has_its_own_ratio(value):
    """scipy's logistic densities, an error of 1 in 999 of the likeliest added to each."""
    stats = pytest.importorskip("scipy.stats")
    scale = math.hypot(10.0, 3.0) * math.sqrt(3) / math.pi
    density = [stats.logistic.pdf(value, loc=at, scale=scale) for at in (60.0, 40.0, 29.0, 18.0)]
    likely = [each / max(density) + 1 / 998 for each in density]
    expected = [math.log(each / likely[0]) for each in likely[1:]]
    assert PULL.by_severity(value, 3.0) == pytest.approx(expected, abs=1e-9)


@given(st.floats(0, 120), st.floats(0, 20))
def test_no_severity_speaks_louder_than_an_error_allows(value, uncertainty):
    assert max(map(abs, PULL.by_severity(value, uncertainty))) <= math.log(999.0) + 1e-9


def test_what_a_reading_says_of_severity_is_the_nearest():
    """40 N is likeliest of a mild fault, 29 N of a moderate, 18 N and less of a severe one."""
    best = [max(range(3), key=lambda s: PULL.by_severity(value, 2.0)[s]) for value in (42.0, 29.0, 18.0, 5.0)]
    assert best == [0, 1, 2, 2]


@pytest.mark.parametrize("severity", FaultSeverity)
def test_a_word_for_how_bad_it_is_speaks_most_for_that(severity):
    """And over the severities it says what its weight says: the mean ratio is w / (1 - w)."""
    ratios = [math.exp(each) for each in word_ratios(0.8, severity.rank)]
    assert ratios.index(max(ratios)) == severity.rank
    assert math.fsum(ratios) / 3 == pytest.approx(4.0)
