"""Run-out by the clock, and whether play varies with the angle."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.mechanics import runout


def rim(angles, mean, first, first_angle, second, second_angle):
    """Return the readings of a rim with an offset centre and an oval shape."""
    return [
        mean + first * math.cos(a - first_angle) + second * math.cos(2 * (a - second_angle)) for a in angles
    ]


@given(
    st.sampled_from([5, 8, 12]),
    st.floats(-5, 5),
    st.floats(0.1, 5),
    st.floats(0, 6.28),
    st.floats(0.1, 5),
    st.floats(0, 3.14),
)
def test_both_harmonics_come_back(count, mean, first, first_angle, second, second_angle):
    """Amplitudes and directions of an offset oval rim, from 5, 8 or 12 places."""
    got = runout.harmonics(rim(runout.clock(count), mean, first, first_angle, second, second_angle))
    assert (got.eccentricity, got.ovality, got.mean) == pytest.approx((first, second, mean), abs=1e-9)
    assert math.cos(got.eccentricity_angle - first_angle) == pytest.approx(1, abs=1e-9)
    assert math.cos(2 * (got.ovality_angle - second_angle)) == pytest.approx(1, abs=1e-9)
    assert 0 <= got.eccentricity_angle < 2 * math.pi
    assert 0 <= got.ovality_angle < math.pi
    assert got.residual == pytest.approx(0, abs=1e-9)


def test_the_discrete_fourier_transform_says_the_same():
    """Source: numpy.fft.rfft of twelve equally spaced readings."""
    readings = np.random.default_rng(1).normal(0, 1, 12)
    bins = np.fft.rfft(readings) * 2 / 12
    got = runout.harmonics(readings)
    assert got.eccentricity == pytest.approx(abs(bins[1]))
    assert got.ovality == pytest.approx(abs(bins[2]))


def test_uneven_angles_are_taken_as_they_are():
    """Places that miss an obstacle serve as well, in any order and beyond one turn."""
    angles = [0.1, 3.0, 0.9, 5.1 + 2 * math.pi, 1.7, 4.2, 5.9]
    got = runout.harmonics(rim(angles, 1.0, 0.5, 2.0, 0.2, 1.0), angles)
    assert (got.eccentricity, got.eccentricity_angle) == pytest.approx((0.5, 2.0))
    assert (got.ovality, got.ovality_angle) == pytest.approx((0.2, 1.0))


def test_run_out_is_largest_less_smallest():
    """Common practice: total indicated run-out, whatever the harmonics say."""
    assert runout.harmonics([0.0, 0.2, 1.4, 0.3, -0.1, 0.0, 0.1, 0.0]).tir == pytest.approx(1.5)


def test_a_round_centred_rim_has_nothing():
    """Limit at zero."""
    got = runout.harmonics([2.0] * 8)
    assert (got.tir, got.eccentricity, got.ovality) == pytest.approx((0, 0, 0), abs=1e-12)


@given(st.lists(st.floats(-5, 5), min_size=8, max_size=8), st.floats(0.1, 10), st.integers(1, 7))
def test_scaling_and_turning_the_rim(readings, scale, steps):
    """Amplitudes scale; starting at another hour changes only the angles."""
    one = runout.harmonics(readings)
    two = runout.harmonics([scale * reading for reading in readings[steps:] + readings[:steps]])
    assert (two.tir, two.eccentricity, two.ovality) == pytest.approx(
        (scale * one.tir, scale * one.eccentricity, scale * one.ovality), abs=1e-8
    )


@pytest.mark.parametrize("uncertainty", [0.0, 0.0001])
def test_play_that_swings_once_a_turn_varies(uncertainty):
    """A cracked arm: 1 mm of play that swings by half a millimetre, read to 0.1 mm."""
    noise = [0.00005, -0.00008, 0.0001, -0.00003, 0.00006, -0.0001, 0.00002, 0.0]
    readings = [0.001 + 0.0005 * math.cos(a - 1) + n for a, n in zip(runout.clock(8), noise, strict=True)]
    got = runout.play(readings, uncertainty=uncertainty)
    assert got.kind == "varies"
    assert got.p_value < 0.01
    assert (got.amplitude, got.angle) == (pytest.approx(0.0005, rel=0.1), pytest.approx(1, abs=0.15))


def test_play_at_one_angle_only_needs_the_tool_to_be_known():
    """A knock at one place of eight: a spread far beyond the tool's says it, one wave a turn doesn't."""
    readings = [0.0005] * 7 + [0.002]
    assert runout.play(readings, uncertainty=0.0001).kind == "varies"
    assert runout.play(readings).kind == "even"


@pytest.mark.parametrize("uncertainty", [0.0, 0.0001])
def test_even_play_is_called_varying_one_time_in_twenty(uncertainty):
    """The stated significance: false alarms over 2000 made rims, tool known or not (binomial, 4 sigma)."""
    rng = np.random.default_rng(2)
    alarms = sum(
        runout.play(0.002 + 0.0001 * rng.standard_normal(8), uncertainty=uncertainty).kind == "varies"
        for _ in range(2000)
    )
    assert alarms / 2000 <= 0.05 + 4 * math.sqrt(0.05 * 0.95 / 2000)
    assert alarms / 2000 >= 0.02


def test_the_p_value_is_that_of_the_f_test():
    """Source: scipy.stats.f on the sums of squares about mean and fit."""
    from scipy.stats import f

    readings = np.array([1.0, 1.2, 1.5, 1.3, 1.1, 0.9, 0.8, 0.95])
    angles = np.array(runout.clock(8))
    basis = np.column_stack([np.ones(8), np.cos(angles), np.sin(angles)])
    rest = np.sum((readings - basis @ np.linalg.lstsq(basis, readings, rcond=None)[0]) ** 2)
    total = np.sum((readings - readings.mean()) ** 2)
    assert runout.play(readings).p_value == pytest.approx(f.sf((total - rest) / 2 / (rest / 5), 2, 5))


@pytest.mark.parametrize("uncertainty", [0.0, 0.001])
def test_equal_readings_are_even(uncertainty):
    """No difference at all is no evidence of any."""
    got = runout.play([0.002] * 8, uncertainty=uncertainty)
    assert (got.kind, got.p_value, got.variation) == ("even", 1.0, 0.0)


def test_a_perfect_wave_varies():
    """With no rest at all the F test has nothing to hold against."""
    assert runout.play([2 + math.cos(a) for a in runout.clock(8)]).p_value < 1e-9
