"""Uncertainty as in the GUM, conformity as in JCGM 106, bands and verdicts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.uncertainty import conformity, propagation

V = [5.007, 4.994, 5.005, 4.990, 4.999]
I_MA = [19.663, 19.639, 19.640, 19.685, 19.678]
PHI = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
NUMBER = st.floats(-1e3, 1e3)
SPREAD = st.floats(1e-3, 1e2)


@pytest.mark.parametrize(
    ("readings", "mean", "uncertainty", "tolerance"),
    [
        (V, 4.9990, 0.0032, 0.00005),
        (I_MA, 19.6610, 0.0095, 0.00005),
        (PHI, 1.04446, 0.00075, 0.000005),
        ([v / i * 1000 * math.cos(p) for v, i, p in zip(V, I_MA, PHI, strict=True)], 127.732, 0.071, 0.0005),
        ([v / i * 1000 * math.sin(p) for v, i, p in zip(V, I_MA, PHI, strict=True)], 219.847, 0.295, 0.0005),
        ([v / i * 1000 for v, i in zip(V, I_MA, strict=True)], 254.260, 0.236, 0.0005),
    ],
    ids=["V", "I", "phi", "R", "X", "Z"],
)
def test_repeats_combine_as_in_the_gum(readings, mean, uncertainty, tolerance):
    """Source: GUM (JCGM 100:2008), H.2, Tables H.2 and H.4: simultaneous resistance and reactance."""
    got = conformity.combine(readings, 0.0, 0.0)
    assert got.mean == pytest.approx(mean, abs=tolerance)
    assert got.uncertainty == pytest.approx(uncertainty, abs=tolerance)
    assert (got.count, got.freedom) == (5, pytest.approx(4))


GAUGE = [
    25.0,
    9.7,
    0.05e9 * 0.1 * 0.58e-6,
    0.05e9 * 11.5e-6 * 0.029,
]  # nm: standard, comparison, expansion, temperature


def test_parts_combine_as_in_the_end_gauge_example():
    """Source: GUM, H.1: uc 32 nm."""
    combined = propagation.propagate([1, 1, 1, 1], GAUGE)
    assert combined == pytest.approx(32, abs=0.5)


def test_a_product_propagates_as_the_library_says():
    """Source: the uncertainties library, for m r w^2 with three uncertain inputs."""
    uncertainties = pytest.importorskip("uncertainties")
    mass, radius, speed = (uncertainties.ufloat(*pair) for pair in ((0.4, 0.01), (0.24, 0.005), (125.7, 1.0)))
    force = mass * radius * speed**2
    slopes = [0.24 * 125.7**2, 0.4 * 125.7**2, 2 * 0.4 * 0.24 * 125.7]
    assert propagation.propagate(slopes, [0.01, 0.005, 1.0]) == pytest.approx(force.std_dev, rel=1e-12)


def test_resolution_counts_once_as_a_rectangle():
    """Source: GUM 4.3.7: a full width d has standard uncertainty d / sqrt 12; ten repeats don't shrink it."""
    assert conformity.combine([3.0], 0.5, 0.0).uncertainty == pytest.approx(0.5 / math.sqrt(12), rel=1e-15)
    assert conformity.combine([3.0] * 10, 0.5, 0.0).uncertainty == pytest.approx(
        0.5 / math.sqrt(12), rel=1e-15
    )


def test_the_three_parts_add_in_squares():
    """Repeats, tool and resolution: 3, 4 and 12 make 13."""
    repeats = [-3 * math.sqrt(2), 0.0, 3 * math.sqrt(2)]  # s = 3 sqrt 2 ... over sqrt 3
    got = conformity.combine(repeats, 12 * math.sqrt(12), 4.0)
    assert got.uncertainty == pytest.approx(math.sqrt(6 + 16 + 144))


def test_one_reading_has_no_spread_and_endless_freedom():
    """The tool alone decides then."""
    got = conformity.combine([5.0], 0.0, 0.2)
    assert (got.mean, got.uncertainty, got.spread, got.freedom) == (5.0, 0.2, 0.0, math.inf)


@given(st.lists(NUMBER, min_size=1, max_size=8), st.floats(0, 10), st.floats(0, 10), NUMBER)
def test_a_shift_moves_the_mean_and_nothing_else(readings, resolution, tool, shift):
    """Uncertainty doesn't depend on where zero is."""
    one = conformity.combine(readings, resolution, tool)
    two = conformity.combine([reading + shift for reading in readings], resolution, tool)
    assert two.mean == pytest.approx(one.mean + shift, abs=1e-9)
    assert two.uncertainty == pytest.approx(one.uncertainty, abs=1e-9)


def test_a_guard_band_of_two_standard_uncertainties():
    """Source: normal distribution; JCGM 106:2012, 8: 97.72 % conform at the edge of a 2 u guard band."""
    assert conformity.bands(8.0, 1.0, [10.0], [True])[0] == pytest.approx(0.9772, abs=1e-4)
    assert conformity.bands(12.0, 1.0, [10.0], [True])[1] == pytest.approx(0.9772, abs=1e-4)


@pytest.mark.parametrize(
    ("value", "uncertainty", "edges", "band", "probability"),
    [(-5.47, 0.05, [-5.40], 0, 0.92), (13.6, 1.8, [12.5, 16.3], 1, 0.66)],
    ids=["breakdown voltage", "viscosity of an oil"],
)
def test_conformity_as_in_the_examples_of_jcgm_106(value, uncertainty, edges, band, probability):
    """Source: JCGM 106:2012, 7, examples 1 and 2 (from memory)."""
    chances = conformity.bands(value, uncertainty, edges, [True] * len(edges))
    assert chances[band] == pytest.approx(probability, abs=0.005)
    verdicts = ["pass" if n == band else "fail" for n in range(len(chances))]
    assert conformity.verdict(chances, verdicts).verdict == "watch"


@pytest.mark.parametrize(
    ("value", "uncertainty", "verdict", "probability"),
    [
        (5, 1, "pass", 1),
        (10, 1, "watch", 0.5),
        (15, 1, "fail", 0),
        (10, 0, "pass", 1),
        (10.001, 0, "fail", 0),
    ],
)
def test_the_verdict_follows_the_probability(value, uncertainty, verdict, probability):
    """Sure either way is a verdict, between is 'watch'; without uncertainty the limit itself passes."""
    chances = conformity.bands(value, uncertainty, [10], [True])
    assert conformity.verdict(chances, ["pass", "fail"]).verdict == verdict
    assert chances[0] == pytest.approx(probability, abs=1e-6)


@pytest.mark.parametrize("value", [3.0, 5.0])
def test_a_reading_too_loose_for_its_limits_is_watched(value):
    """3 or 5, give or take 100, within 2 to 4: it may lie on either side: nothing is sure (JCGM 106:2012, 7)."""
    chances = conformity.bands(value, 100.0, [2.0, 4.0], [True, True])
    assert chances[1] < 0.01
    assert conformity.verdict(chances, ["fail", "pass", "fail"]).verdict == "watch"


def test_what_numpy_gives_is_taken():
    """Its booleans and its arrays without a dimension are as good as Python's own (numpy's guide, array scalars)."""
    import numpy as np

    plain = conformity.bands(1.0, 0.0, [1.0, 2.0], [True, False])
    assert (
        conformity.bands(np.array(1.0), np.array(0), np.array([1.0, 2.0]), np.array([True, False])) == plain
    )
    with pytest.raises(ValueError, match="value: True is not a number"):
        conformity.bands(np.array(True), 0.0, [1.0], [True])
    with pytest.raises(ValueError, match="inclusive: must be True or False"):
        conformity.bands(1.0, 0.0, [1.0], np.array([1]))


@given(NUMBER, SPREAD, st.lists(NUMBER, max_size=5, unique=True))
def test_bands_agree_with_the_normal_distribution(value, uncertainty, edges):
    """Source: scipy.stats.norm. Every band's probability, and they sum to one."""
    from scipy.stats import norm

    edges = sorted(edges)
    got = conformity.bands(value, uncertainty, edges, [True] * len(edges))
    limits = [-math.inf, *edges, math.inf]
    for chance, low, high in zip(got, limits, limits[1:], strict=False):
        assert chance == pytest.approx(
            norm.cdf(high, value, uncertainty) - norm.cdf(low, value, uncertainty), abs=1e-12
        )
    assert math.fsum(got) == pytest.approx(1, abs=1e-12)


def test_a_far_tail_keeps_its_figures():
    """Source: scipy.stats.norm.sf(10) = 7.62e-24; a plain difference would give 0."""
    from scipy.stats import norm

    assert conformity.bands(0.0, 1.0, [10.0], [True])[1] == pytest.approx(float(norm.sf(10)), rel=1e-12)
    assert conformity.bands(0.0, 1.0, [-10.0], [True])[0] == pytest.approx(float(norm.cdf(-10)), rel=1e-12)


@pytest.mark.parametrize(
    ("value", "inclusive", "expected"),
    [
        (0.4, (True, False), (1.0, 0.0, 0.0)),
        (0.5, (True, False), (1.0, 0.0, 0.0)),
        (0.5, (False, False), (0.0, 1.0, 0.0)),
        (1.0, (True, False), (0.0, 0.0, 1.0)),
        (1.0, (True, True), (0.0, 1.0, 0.0)),
        (7.0, (True, True), (0.0, 0.0, 1.0)),
    ],
)
def test_without_uncertainty_one_band_has_it_all(value, inclusive, expected):
    """An edge belongs below it with up_to (inclusive) and above it with below (exclusive)."""
    assert conformity.bands(value, 0.0, (0.5, 1.0), inclusive) == expected


def test_a_limit_without_edges_is_one_band():
    """One band takes everything, however uncertain."""
    assert conformity.bands(3.0, 0.0, (), ()) == conformity.bands(3.0, 2.0, (), ()) == (1.0,)


@given(NUMBER, st.lists(NUMBER, min_size=1, max_size=4, unique=True), st.data())
def test_tiny_uncertainty_tends_to_none(value, edges, data):
    """Off the edges, the limit at zero uncertainty is the answer without."""
    edges = sorted(edges)
    inclusive = [data.draw(st.booleans()) for _ in edges]
    if min(abs(value - edge) for edge in edges) > 1e-6:
        assert conformity.bands(value, 1e-8, edges, inclusive) == pytest.approx(
            conformity.bands(value, 0, edges, inclusive)
        )


@pytest.mark.parametrize(
    ("probabilities", "verdicts", "verdict", "fail", "band"),
    [
        ((0.96, 0.03, 0.01), ("pass", "watch", "fail"), "pass", 0.01, 0),
        ((0.02, 0.03, 0.95), ("pass", "watch", "fail"), "fail", 0.95, 2),
        ((0.50, 0.50), ("pass", "fail"), "watch", 0.5, 0),
        ((0.50, 0.02, 0.48), ("fail", "pass", "fail"), "watch", 0.98, 0),
        ((0.50, 0.47, 0.03), ("fail", "fail", "pass"), "fail", 0.97, 0),
        ((0.01, 0.97, 0.02), ("fail", "watch", "fail"), "watch", 0.03, 1),
        ((1.0,), ("fail",), "fail", 1.0, 0),
    ],
)
def test_a_verdict_needs_ninety_five_in_a_hundred(probabilities, verdicts, verdict, fail, band):
    """Neighbours of one verdict are one band; what is not sure is 'watch'; the chance of failing goes with it."""
    got = conformity.verdict(probabilities, verdicts)
    assert (got.verdict, got.probability_of_fail, got.band) == (verdict, pytest.approx(fail), band)
