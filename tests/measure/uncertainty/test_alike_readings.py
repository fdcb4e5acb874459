"""How likely readings agree by chance: against the integral, a limit in closed form, and draws."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from wizard.measure.uncertainty.alike_readings import ENOUGH, agreeing, pairs, row_agreeing, spreads


@pytest.mark.parametrize("spread", [0.05, 0.3, 0.5, 1.0, 2.5, 40.0])
@pytest.mark.parametrize("grain", [0.1, 1.0, 2.5])
def test_it_is_the_integral_that_it_says(spread, grain):
    """1 - |d|/grain over the density of the difference, by scipy's quadrature and its own normal."""
    found, _error = integrate.quad(
        lambda d: (1 - abs(d) / grain) * stats.norm.pdf(d, scale=spread * math.sqrt(2)),
        -grain, grain, points=[0.0], limit=200,
    )  # fmt: skip
    assert agreeing(spread, grain) == pytest.approx(found, rel=1e-6)


def test_of_a_wide_spread_it_is_the_density_at_nothing():
    """The difference of two normals has at 0 the density 1 / (2 sqrt(pi) spread): common practice."""
    assert agreeing(1000.0, 1.0) == pytest.approx(1.0 / (2 * math.sqrt(math.pi) * 1000.0), rel=1e-4)
    assert agreeing(0.0, 1.0) == 1.0 and agreeing(1e-6, 1.0) == pytest.approx(1.0, abs=1e-5)


def test_it_is_what_draws_show():
    """Two hundred thousand pairs, rounded, about a mean anywhere between two marks."""
    rng = np.random.default_rng(7)
    mean = rng.uniform(0, 1, 200_000)
    one, two = (np.round(mean + rng.normal(0, 0.8, mean.size)) for _ in range(2))
    assert agreeing(0.8, 1.0) == pytest.approx(float((one == two).mean()), abs=0.005)


def test_wrong_numbers_are_named():
    with pytest.raises(ValueError, match="spread"):
        agreeing(-1.0, 1.0)
    with pytest.raises(ValueError, match="grain"):
        agreeing(1.0, 0.0)


def test_spreads_over_machines_and_within_one_are_those_that_were_drawn():
    rng = np.random.default_rng(11)
    rows = [tuple(mean + rng.normal(0, 1.0, 4)) for mean in rng.normal(30, 5.0, 4000)]
    over, within = spreads(rows, 0.1)
    assert within == pytest.approx(1.0, rel=0.03) and over == pytest.approx(math.hypot(5.0, 1.0), rel=0.05)


def test_few_rows_and_rows_all_alike_have_the_tools_own_spread():
    """Machines differ by the tool's uncertainty at least; nothing narrower is taken from what was typed."""
    assert spreads([(1.0, 9.0, 30.0)] * (ENOUGH - 1), 0.4) == (0.4, 0.4)
    assert spreads([(5.0, 5.0, 5.0)] * 50, 0.4) == (0.4, 0.4)


def test_rows_of_real_draws_agree_as_often_as_it_says():
    """Pairs of machines whose four readings agree, counted among all pairs of 3,000 drawn rows."""
    rng = np.random.default_rng(3)
    rows = [tuple(np.round(mean + rng.normal(0, 0.7, 3))) for mean in rng.normal(20, 1.5, 3000)]
    counts: dict[tuple[float, ...], int] = {}
    for row in rows:
        counts[row] = counts.get(row, 0) + 1
    agreed = sum(pairs(n) for n in counts.values())
    expected = row_agreeing(rows, 0.1, 1.0, 3) * pairs(len(rows))
    # Rounding widens the spread that is seen, and the second reading lies nearer once the first agrees: within a third.
    assert 0.6 < expected / agreed < 1.5


def test_nothing_follows_where_the_tool_is_not_known():
    assert row_agreeing([(1.0, 2.0, 3.0)] * 40, 0.0, 1.0, 3) == 1.0 == row_agreeing([], 0.3, 0.0, 3)
