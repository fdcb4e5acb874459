"""Fitting a ring-down: which damping it is, and how well it is known."""

import math

import numpy as np
import pytest

from wizard.measure.damping import ringdown
from wizard.measure.damping.decay_model import Swing, response

TIME = np.arange(0, 3, 1 / 60)  # a film of three seconds
TUBS = {
    "viscous": Swing(20.0, 0.0, 2 * math.pi * 2.7, 0.07, 0.0, 0.0),
    "friction": Swing(20.0, 0.0, 2 * math.pi * 2.7, 0.0, 1.2, 0.5),
    "both": Swing(20.0, 0.0, 2 * math.pi * 2.7, 0.05, 0.8, -0.5),
}


def noisy(kind, noise, seed, time=TIME):
    """Return the displacement, mm, of a made tub with white noise."""
    return response(TUBS[kind], time) + noise * np.random.default_rng(seed).standard_normal(len(time))


@pytest.mark.parametrize("seed", [1, pytest.param(2, marks=pytest.mark.nightly)])
@pytest.mark.parametrize("kind", TUBS)
def test_the_kind_of_damping_is_told_through_noise(kind, seed):
    """2 % noise: the kind is named, frequency and damping ratio lie within four standard uncertainties."""
    truth, got = TUBS[kind], ringdown.fit(TIME, noisy(kind, 0.4, seed))
    assert got.kind == kind
    assert abs(got.frequency - 2.7) <= 4 * got.frequency_u
    assert abs(got.damping_ratio - truth.zeta) <= 4 * got.damping_ratio_u
    assert 0 < got.frequency_u < 0.05
    assert 0 < got.damping_ratio_u < 0.02
    assert got.residual == pytest.approx(0.4, rel=0.3)


@pytest.mark.parametrize("kind", TUBS)
def test_without_noise_the_truth_comes_back(kind):
    """Every number of the made tub, and the share of friction that belongs to it."""
    truth, got = TUBS[kind], ringdown.fit(TIME, noisy(kind, 0.0, 1))
    assert got.kind == kind
    assert got.frequency == pytest.approx(2.7, rel=1e-4)
    assert got.damping_ratio == pytest.approx(truth.zeta, abs=1e-4)
    assert got.friction_offset == pytest.approx(truth.friction, abs=1e-2)
    assert got.rest == pytest.approx(truth.rest, abs=1e-2)
    assert got.amplitude == pytest.approx(abs(truth.start - truth.rest), abs=0.02)
    low, high = {"viscous": (0, 0), "friction": (1, 1), "both": (0.2, 0.9)}[kind]
    assert low <= got.friction_share <= high


def test_the_unit_and_the_zero_of_time_do_not_matter():
    """In metres and 100 s later: the same tub, and the curve is drawn on the same clock."""
    values = noisy("both", 0.3, 5)
    one, two = ringdown.fit(TIME, values), ringdown.fit(TIME + 100, values / 1000)
    assert one.kind == two.kind
    assert (one.frequency, one.damping_ratio) == pytest.approx((two.frequency, two.damping_ratio), rel=1e-3)
    assert ringdown.curve(two, TIME + 100) == pytest.approx(ringdown.curve(one, TIME) / 1000, abs=1e-4)
    assert np.std(values - ringdown.curve(one, TIME)) == pytest.approx(one.residual, rel=0.05)


def test_uneven_times_serve():
    """A film with dropped frames."""
    kept = np.sort(np.random.default_rng(7).choice(len(TIME), 110, replace=False))
    got = ringdown.fit(TIME[kept], noisy("viscous", 0.3, 8)[kept])
    assert got.kind == "viscous"
    assert got.frequency == pytest.approx(2.7, abs=5 * got.frequency_u)


def test_less_noise_is_known_better():
    """A quarter of the noise, about a quarter of the uncertainty."""
    loud, quiet = (ringdown.fit(TIME, noisy("viscous", noise, 3)) for noise in (0.4, 0.1))
    assert quiet.damping_ratio_u == pytest.approx(loud.damping_ratio_u / 4, rel=0.3)
    assert quiet.frequency_u == pytest.approx(loud.frequency_u / 4, rel=0.3)


def test_humming_near_the_swing_is_not_taken_for_precision():
    """Noise in the swing's own band moves the answer more than white noise of the same size, and the fit says so."""
    rng = np.random.default_rng(9)
    hum = sum(
        rng.normal() * np.cos(2 * math.pi * f * TIME + rng.uniform(0, 6.28)) for f in (2.2, 2.5, 2.9, 3.2)
    )
    clean = response(TUBS["viscous"], TIME)
    white = ringdown.fit(TIME, clean + np.std(hum) * 0.3 * rng.standard_normal(len(TIME)))
    hummed = ringdown.fit(TIME, clean + 0.3 * hum)
    assert hummed.damping_ratio_u > 1.5 * white.damping_ratio_u


def test_a_decay_agrees_with_its_own_peaks():
    """Source: Thomson, 2.7: the fit of a viscous decay and the decrement of its peaks give one damping ratio."""
    values = response(TUBS["viscous"], np.arange(0, 3, 1e-3))
    peaks = [v for u, v, w in zip(values, values[1:], values[2:], strict=False) if u < v >= w and v > 0.5]
    assert ringdown.log_decrement(peaks).damping_ratio == pytest.approx(
        ringdown.fit(TIME, noisy("viscous", 0, 1)).damping_ratio, rel=1e-3
    )


def test_a_record_without_damping_is_no_friction():
    """Undamped swings in noise are viscous with a ratio of nothing, within its uncertainty, and no friction that took
    all: in each of a dozen records, as a displacement and as an acceleration.
    """
    rng = np.random.default_rng(12)
    when = np.arange(0, 4, 0.02)
    for fit in (ringdown.fit, ringdown.fit_acceleration):
        for _ in range(6):
            found = fit(when, 20 * np.cos(17 * when) + rng.normal(0, 0.2, len(when)))
            assert (found.kind, found.friction_share) == ("viscous", 0.0)
            assert found.damping_ratio <= 4 * found.damping_ratio_u and found.damping_ratio_u > 0
