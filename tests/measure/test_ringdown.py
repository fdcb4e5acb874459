"""Ring-down by peaks and by swings, and the closed form of the decay."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.damping import decay_model, ringdown
from wizard.measure.damping.decay_model import Swing

ZETA = st.floats(0.001, 0.8)


def viscous_peaks(zeta, count, first=10.0):
    """Return successive same-side peaks of a viscous decay."""
    loss = 2 * math.pi * zeta / math.sqrt(1 - zeta**2)
    return [first * math.exp(-loss * turn) for turn in range(count)]


def test_decrement_of_thomsons_example():
    """Source: Thomson, Ex. 2.7-1: 10 lb, 30 lb/in, 0.12 lb s/in: zeta 0.0681, decrement 0.429."""
    mass = 10 / 386
    zeta = 0.12 / (2 * math.sqrt(30 * mass))
    got = ringdown.log_decrement(viscous_peaks(zeta, 2))
    assert got.damping_ratio == pytest.approx(0.0681, rel=2e-3)
    assert got.decrement == pytest.approx(0.429, rel=2e-3)


@pytest.mark.parametrize("cycles", [1, 2, 5])
def test_half_the_amplitude_in_so_many_cycles(cycles):
    """Source: Thomson, Ex. 2.7-2: to half in n cycles, n zeta = 0.110."""
    peaks = [2 ** (-turn / cycles) for turn in range(cycles + 1)]
    assert cycles * ringdown.log_decrement(peaks).damping_ratio == pytest.approx(0.110, rel=1e-2)


def test_decrement_of_raos_example():
    """Source: Rao, Ex. 2.14: to a quarter in half a cycle: decrement 2.7726, zeta 0.4037, 554.5 N s/m, 2358 N/m."""
    got = ringdown.log_decrement([1, 1 / 16])
    assert got.decrement == pytest.approx(2.7726, rel=2e-4)
    assert got.damping_ratio == pytest.approx(0.4037, rel=2e-4)
    omega = math.pi / math.sqrt(1 - got.damping_ratio**2)  # a damped period of 2 s
    assert 2 * got.damping_ratio * omega * 200 == pytest.approx(554.5, rel=5e-4)
    assert 200 * omega**2 == pytest.approx(2358, rel=5e-4)


@given(ZETA, st.integers(2, 8), st.floats(0.1, 100))
def test_the_damping_ratio_comes_back_at_any_scale(zeta, count, scale):
    """From any number of peaks, in any unit."""
    peaks = viscous_peaks(zeta, count, scale)
    assert ringdown.log_decrement(peaks).damping_ratio == pytest.approx(zeta, rel=1e-6)


def test_peaks_that_stay_have_no_damping():
    """Limit at zero."""
    assert ringdown.log_decrement([3, 3, 3]) == ringdown.Decrement(0.0, 0.0)
    assert ringdown.coulomb_force([3, 3, 3], 1000) == 0


def test_equal_peaks_lose_nothing():
    """Undamped swings stay as high (Thomson, 2.7): a loss of 0, which is not written -0."""
    got = ringdown.log_decrement([1, 1, 1])
    losses = (got.decrement, got.damping_ratio, ringdown.coulomb_force([1, 1, 1], 1000.0))
    assert losses == (0, 0, 0) and all(math.copysign(1, loss) == 1 for loss in losses)


@given(st.floats(1, 300), st.floats(1e3, 1e5), st.integers(2, 5))
def test_friction_takes_the_same_off_each_cycle(force, stiffness, count):
    """Source: Thomson, 2.8: 4F/k a cycle."""
    peaks = [1 + 4 * force / stiffness * (count - turn) for turn in range(count)]
    assert ringdown.coulomb_force(peaks, stiffness) == pytest.approx(force, rel=1e-6)


@pytest.mark.parametrize(
    ("friction", "expected"),
    [
        (180, [-4]),
        (90, [-17, 4]),
        (50, [-23, 16, -9, 1]),
        (240, [4]),
        (320, [16]),
    ],
)
def test_reversals_of_a_tub_on_dry_dampers(friction, expected):
    """Common practice (own calculation): 50 kg on 14 kN/m let go at 30 mm: where it turns; from 240 N no
    overshoot.
    """
    assert ringdown.reversals(30, 0.0, friction / 14000 * 1000) == pytest.approx(expected, abs=0.75)


def test_thirty_newtons_leave_three_overshoots_a_side():
    """Common practice (own calculation): 30 N alone on that tub gives three overshoots a side."""
    got = ringdown.reversals(30, 0.0, 30 / 14000 * 1000, least=0.1)
    assert [sum(peak < 0 for peak in got), sum(peak > 0 for peak in got)] == [3, 3]


def test_viscous_alone_leaves_seven_overshoots_a_side():
    """Common practice (own calculation): 120 N s/m on 50 kg and 14 kN/m is zeta 0.072: seven a side above 1 mm."""
    zeta = 120 / (2 * math.sqrt(50 * 14000))
    assert zeta == pytest.approx(0.072, abs=5e-4)
    assert len(ringdown.reversals(30, zeta, least=1.0)) in (14, 15)


@pytest.mark.parametrize(
    "swing",
    [
        Swing(30, 0, 10, 0.05, 2, 0),
        Swing(0, 25, 12, 0.1, 1.5, 1),
        Swing(-10, 25, 12, 0.0, 3, 1),
        Swing(-20, 8, 12, 0.3, 2, -1),
        Swing(5, -20, 8, 0.02, 0, 0),
        Swing(20, 0, 9, 0.0, 15, 0),
    ],
)
def test_the_closed_form_solves_the_equation_of_motion(swing):
    """Source: scipy.integrate.solve_ivp on the same equation, with the sign of the speed smoothed a little."""
    from scipy.integrate import solve_ivp

    def motion(_t, state):
        pull = -2 * swing.zeta * swing.omega * state[1] - swing.omega**2 * (state[0] - swing.rest)
        return [state[1], pull - swing.omega**2 * swing.friction * math.tanh(state[1] / 0.01)]

    time = np.linspace(0, 2.5, 120)
    begin = [swing.start, swing.pace * swing.omega]
    found = solve_ivp(motion, (0, 2.5), begin, t_eval=time, rtol=1e-7, atol=1e-7, method="LSODA")
    assert decay_model.response(swing, time) == pytest.approx(found.y[0], abs=0.03)


@given(st.floats(5, 30), st.floats(-10, 10), ZETA, st.floats(0, 3), st.floats(-2, 2))
def test_a_decay_starts_where_and_as_fast_as_it_says(start, pace, zeta, friction, rest):
    """Position and speed at time 0, and no jump anywhere."""
    swing = Swing(start, pace, 10.0, zeta, friction, rest)
    assert decay_model.response(swing, np.array([0.0]))[0] == pytest.approx(start, abs=1e-9)
    fine = decay_model.response(swing, np.linspace(0, 3, 3001))
    assert np.abs(np.diff(fine)).max() < 2 * 10.0 * (abs(start) + abs(pace) + 10) * 1e-3


@given(st.floats(0.01, 0.3), st.floats(0.05, 3))
def test_all_energy_lost_goes_one_way_or_the_other(zeta, friction):
    """The share of dry friction is 0 without it, 1 without the viscous part, and between with both."""
    assert decay_model.friction_share(Swing(20, 0, 10, zeta, 0, 0), 3) == 0
    assert decay_model.friction_share(Swing(20, 0, 10, 0, friction, 0), 3) == pytest.approx(1)
    assert 0 < decay_model.friction_share(Swing(20, 0, 10, zeta, friction, 0), 3) < 1
