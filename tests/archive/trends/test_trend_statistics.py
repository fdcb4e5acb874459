"""Intervals, limits and shrinkage against published figures, closed forms and scipy's own."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wizard.archive.trends.rate_interval import OUTSIDE, control_limits, wilson
from wizard.archive.trends.shrinkage import grid, shrunk
from wizard.archive.trends.time_ratio import time_ratio

RATS = (
    *[(0, 20)] * 7, *[(0, 19)] * 4, *[(0, 18)] * 2, (0, 17), *[(1, 20)] * 4, *[(1, 19)] * 2, *[(1, 18)] * 2,
    (2, 25), (2, 24), (2, 23), *[(2, 20)] * 6, (1, 10), (5, 49), (2, 19), (5, 46), (3, 27), (2, 17), (7, 49), (7, 47),
    *[(3, 20)] * 2, (2, 13), (9, 48), (10, 50), *[(4, 20)] * 7, (10, 48), *[(4, 19)] * 3, (5, 22), (11, 46), (12, 49),
    *[(5, 20)] * 2, (6, 23), (5, 19), (6, 22), *[(6, 20)] * 3, (16, 52), (15, 47), (15, 46), (9, 24),
)  # fmt: skip
"""Rats with tumours in seventy groups before (Tarone 1982; Bayesian Data Analysis, table 5.1), from memory: their mean
and deviation are the published ones, which the first test holds.
"""


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_is_as_published(hits, of, low, high):
    """The table of Newcombe 1998, Statistics in Medicine 17: 857-872, score method."""
    assert wilson(hits, of) == (pytest.approx(low, abs=6e-5), pytest.approx(high, abs=6e-5))


@given(st.integers(0, 400), st.integers(0, 400), st.sampled_from([0.8, 0.95, 0.99]))
def test_wilson_is_that_of_scipy(a, b, confidence):
    """For any counts and confidence."""
    hits, of = min(a, b), max(a, b)
    if of == 0:
        assert wilson(hits, of) == (0.0, 1.0)
        return
    wanted = stats.binomtest(hits, of).proportion_ci(confidence, method="wilson")
    assert wilson(hits, of, confidence) == (
        pytest.approx(wanted.low, abs=1e-12),
        pytest.approx(wanted.high, abs=1e-12),
    )


@given(st.floats(0.0, 1.0), st.integers(0, 800))
def test_limits_are_the_quantiles_of_scipys_binomial(share, of):
    """Exact, where a normal's three deviations would be none for so few."""
    low, high = control_limits(share, of)
    if of and 0.0 < share < 1.0:
        wanted = stats.binom.ppf([OUTSIDE, 1 - OUTSIDE], of, share)
        assert (low, high) == (max(0, wanted[0]), wanted[1])
    assert 0 <= low <= high <= of


def test_limits_are_near_the_handbooks_where_there_are_many():
    """Montgomery, Statistical Quality Control, table 6-1: 20 samples of 100, 117 nonconforming: limits 0 and .1289 by
    three deviations. 30 of 500 with 292: .000931 and .038003, computed by that formula. Counts are whole, and a
    binomial's right tail is longer than a normal's.
    """
    low, high = control_limits(117 / 2000, 100)
    assert low / 100 == pytest.approx(0.0, abs=0.011) and high / 100 == pytest.approx(0.1289, abs=0.02)
    low, high = control_limits(292 / 15000, 500)
    assert low / 500 == pytest.approx(0.000931, abs=0.005) and high / 500 == pytest.approx(
        0.038003, abs=0.006
    )


@pytest.mark.parametrize("wrong", [(-1, 5), (6, 5)])
def test_counts_that_cant_be_are_said(wrong):
    """Not computed with."""
    for act in (lambda: wilson(*wrong), lambda: shrunk([wrong], 0.1)):
        with pytest.raises(ValueError):
            act()
    with pytest.raises(ValueError, match="target"):
        shrunk([(1, 5)], 1.0)
    with pytest.raises(ValueError):
        control_limits(1.5, 3)


def test_the_rats_are_those_of_the_book():
    """Seventy groups, mean .136, deviation .103: Bayesian Data Analysis, section 5.1."""
    shares = [hits / of for hits, of in RATS]
    assert len(RATS) == 70
    assert np.mean(shares) == pytest.approx(0.136, abs=5e-4)
    assert np.std(shares, ddof=1) == pytest.approx(0.103, abs=5e-4)


def test_what_groups_have_in_common_is_as_the_book_has_it():
    """With the group of 4 in 14: E(alpha | y) = 2.4, E(beta | y) = 14.3 (Bayesian Data Analysis, section 5.3, from
    memory). With Beta(1.4, 8.6), the crude estimate of section 5.1, that group has .223; the whole of it less.
    """
    counts = (*RATS, (4, 14))
    a, b, weight = grid(counts)
    assert float((a * weight).sum()) == pytest.approx(2.4, abs=0.06)
    assert float((b * weight).sum()) == pytest.approx(14.3, abs=0.4)
    last = shrunk(counts, 0.2)[-1]
    assert 14 / 100 < last.mean < 0.223 < 4 / 14 and last.deviation == pytest.approx(0.083, abs=0.02)


def test_the_weights_are_those_of_scipys_beta_binomial():
    """Two points of the grid: the ratio of their weights is that of prior and likelihood, by another library."""
    counts = [(1, 12), (0, 7), (5, 20), (2, 2)]
    a, b, weight = grid(counts)

    def whole(at):
        return sum(stats.betabinom.logpmf(k, n, a[at], b[at]) for k, n in counts) + math.log(
            a[at] * b[at] * (a[at] + b[at]) ** -2.5
        )

    one, other = (30, 20), (34, 26)
    assert math.log(weight[one] / weight[other]) == pytest.approx(whole(one) - whole(other), abs=1e-9)


@settings(max_examples=20)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 30)), min_size=1, max_size=9))
def test_a_share_is_drawn_to_the_others_and_never_past_them(pairs):
    """The fewer cases, the nearer; no case at all: what all have in common."""
    counts = [(min(pair), max(pair)) for pair in pairs]
    found = shrunk(counts, 0.1)
    assert len(found) == len(counts) and all(0 < one.mean < 1 and 0 <= one.over <= 1 for one in found)
    again = shrunk([*counts, counts[0]], 0.1)
    assert again[0] == again[-1]
    less, more = shrunk(counts, 0.05)[0].over, shrunk(counts, 0.5)[0].over
    assert less >= more - 1e-9


def test_few_cases_say_little_and_many_say_all():
    """One of one is no share of 100 %; 200 of 400 are about a half, whatever the others have."""
    some = [(3, 60)] * 10
    few, many = shrunk([*some, (1, 1), (200, 400)], 0.05)[-2:]
    assert few.mean < 0.4 and many.mean == pytest.approx(0.5, abs=0.02) and many.over > 0.999
    assert shrunk((), 0.1) == ()


def test_the_middle_of_times_is_that_of_scipys_t():
    """Against scipy.stats.t on the logarithms; one session alone bounds nothing."""
    logs = [12, -30, 45, 0, 5, -8]
    found = time_ratio(len(logs), sum(logs), sum(x * x for x in logs))
    values = np.array(logs) / 100
    low, high = stats.t.interval(0.95, len(logs) - 1, values.mean(), stats.sem(values))
    assert (found.middle, found.low, found.high) == tuple(
        pytest.approx(math.exp(x), rel=1e-9) for x in (values.mean(), low, high)
    )
    alone = time_ratio(1, 69, 69 * 69)
    assert alone.middle == pytest.approx(2.0, abs=0.01) and (alone.low, alone.high) == (0.0, math.inf)
    same = time_ratio(3, 0, 0)
    assert (same.low, same.high) == (1.0, 1.0)
    with pytest.raises(ValueError):
        time_ratio(0, 0, 0)
