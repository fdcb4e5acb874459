"""Unbalance, what passes to the cabinet, balance grades, walking and running down."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.domain.measure_vocabulary import DrumAxis
from wizard.measure.mechanics import rotating, springs, walking

G = 9.80665
ZETA = st.floats(0, 2)
SIZE = st.floats(0.01, 100)


def test_force_of_an_unbalance():
    """0.4 kg at 0.24 m and 1200 rpm pull 1516 N (recomputed from m r w^2)."""
    assert rotating.unbalance_force(0.4, 0.24, 1200) == pytest.approx(1516, abs=0.5)


@given(SIZE, SIZE, st.floats(1, 2000))
def test_force_grows_with_the_square_of_speed(mass, radius, rpm):
    """Scale law: twice the speed is four times the force; twice the mass or radius twice."""
    force = rotating.unbalance_force(mass, radius, rpm)
    assert rotating.unbalance_force(mass, radius, 2 * rpm) == pytest.approx(4 * force)
    assert rotating.unbalance_force(2 * mass, 2 * radius, rpm) == pytest.approx(4 * force)


def test_resonant_and_high_speed_amplitude_give_the_damping():
    """Source: Thomson, Theory of Vibration with Applications, Ex. 3.2-1: 0.60 against 0.08 cm is zeta 0.0667."""
    assert rotating.unbalance_response(1, 0.0667) / rotating.unbalance_response(1e6, 0.0667) == pytest.approx(
        0.60 / 0.08, rel=2e-3
    )


@given(st.floats(0.01, 50), st.floats(0.001, 2))
def test_response_is_thomsons_form(ratio, zeta):
    """Source: Thomson, eq. 3.2-4."""
    form = ratio**2 / math.sqrt((1 - ratio**2) ** 2 + (2 * zeta * ratio) ** 2)
    assert rotating.unbalance_response(ratio, zeta) == pytest.approx(form, rel=1e-10)


@given(st.floats(0.01, 50), st.floats(0.001, 2))
def test_transmissibility_is_the_force_through_spring_and_damper(ratio, zeta):
    """Source: Thomson, sec. 3.5: |k + i c w| over |k - m w^2 + i c w|, with k = m = 1."""
    passed = abs(complex(1, 2 * zeta * ratio)) / abs(complex(1 - ratio**2, 2 * zeta * ratio))
    assert rotating.transmissibility(ratio, zeta) == pytest.approx(passed, rel=1e-10)


@given(ZETA)
def test_every_damping_passes_the_same_at_root_two(zeta):
    """Source: any text: exactly 1 at ratio sqrt 2."""
    assert rotating.transmissibility(math.sqrt(2), zeta) == pytest.approx(1, abs=1e-12)


@given(ZETA)
def test_limits_at_rest_and_at_endless_speed(zeta):
    """At rest nothing moves and all is passed; far above, the tub orbits by m e / M and nothing but damping
    passes.
    """
    assert rotating.unbalance_response(0, zeta) == 0
    assert rotating.transmissibility(0, zeta) == 1
    assert rotating.unbalance_response(1e35, zeta) == pytest.approx(1)
    assert rotating.transmissibility(1e35, zeta) == pytest.approx(0, abs=1e-30)


@given(st.floats(1.5, 50), st.floats(0.01, 1))
def test_above_resonance_less_damping_passes_less(ratio, zeta):
    """Common practice: a seized damper passes far more to the cabinet at full spin than a worn one."""
    assert rotating.transmissibility(ratio, zeta / 2) < rotating.transmissibility(ratio, zeta)


def test_an_undamped_resonance_has_no_bound():
    """Infinite, not an error: the reader of a plot sees it."""
    assert rotating.unbalance_response(1, 0) == rotating.transmissibility(1, 0) == math.inf


def test_a_balance_grade_at_three_thousand():
    """Source: ISO 21940-11, e w = G: G 6.3 at 3000 rpm on 100 kg is 20.05 um and 2005 g mm (recomputed)."""
    got = rotating.permissible_unbalance(6.3, 3000, 100)
    assert got.eccentricity == pytest.approx(20.05e-6, rel=2e-4)
    assert got.unbalance == pytest.approx(2005e-6, rel=2e-4)


@pytest.mark.parametrize("grade", [4000, 1600, 630, 250, 100, 40, 16, 6.3, 2.5, 1, 0.4])
def test_every_grade_is_the_speed_of_the_mass_centre(grade):
    """Source: ISO 21940-11, Table 1: the grades are e w in mm/s."""
    got = rotating.permissible_unbalance(grade, 1200, 5)
    assert got.eccentricity * rotating.angular_speed(1200) * 1000 == pytest.approx(grade)
    assert got.unbalance == pytest.approx(5 * got.eccentricity)


@given(st.floats(20, 200), st.floats(0.05, 1.2))
def test_slip_force_makes_the_margin_one(mass, friction):
    """Source: statics: mu M g with an upright axis, mu M g / sqrt(1 + mu^2) with a level one."""
    assert walking.slip_force(mass, friction, "vertical") == pytest.approx(friction * mass * G)
    assert walking.slip_force(mass, friction) == pytest.approx(
        friction * mass * G / math.sqrt(1 + friction**2)
    )
    for axis in DrumAxis:
        force = walking.slip_force(mass, friction, axis)
        assert walking.turning_margin(mass, friction, force, axis) == pytest.approx(1)


@given(st.floats(20, 200), st.floats(0.05, 1.2), st.floats(1, 4000))
def test_turning_margin_is_the_worst_of_a_turn(mass, friction, force):
    """The closed form equals the least of mu (M g - lift) / push over 20,000 angles, up to lifting (statics)."""
    got = walking.turning_margin(mass, friction, force)
    if force >= mass * G:
        assert got <= 0
        return
    angles = [math.pi / 2 * step / 20000 for step in range(20000)]
    worst = min(
        friction * (mass * G - force * math.sin(a)) / (force * math.cos(a)) for a in angles[:: max(1, 20)]
    )
    assert got <= worst + 1e-9
    assert got == pytest.approx(worst, rel=0.02, abs=0.02)


def test_force_and_margin_at_a_speed():
    """Source: the transmitted force X sqrt(k^2 + (c w)^2) + (4/pi) F, with X = m r w^2 / |k - M w^2 + i c w|."""
    omega, k, c = 1200 * math.pi / 30, 14000.0, 120.0
    turning = 0.4 * 0.24 * omega**2
    passed = (
        turning / abs(complex(k - 50 * omega**2, c * omega)) * abs(complex(k, c * omega)) + 4 / math.pi * 50
    )
    got = walking.at_speed(1200, 0.4, 0.24, 50, k, c, 80, 0.45, 50)
    assert (got.unbalance, got.transmitted) == (pytest.approx(turning), pytest.approx(passed))
    assert got.margin == pytest.approx(walking.turning_margin(80, 0.45, passed))
    assert got.margin > 1


def test_a_still_or_balanced_drum_never_walks():
    """No speed or no unbalance: no force, an endless margin."""
    for rpm, mass in ((0, 0.4), (1200, 0.0)):
        got = walking.at_speed(rpm, mass, 0.24, 50, 14000, 120, 80, 0.45, 50)
        assert got == walking.AtSpeed(0.0, 0.0, math.inf)


def test_rundown_from_turns_and_seconds():
    """Common practice: 5 turns in 10 s is a start at 60 rpm that loses 6 rpm a second (even loss)."""
    assert rotating.rundown(5, 10) == rotating.Rundown(60.0, 6.0)


def test_rundown_time_solves_its_equation():
    """Source: scipy.integrate.solve_ivp on I w' = -T - c w, run until it stands."""
    from scipy.integrate import solve_ivp

    def stands(_t, speed):
        return speed[0]

    stands.terminal = True
    start = 1200 * math.pi / 30
    found = solve_ivp(
        lambda t, w: [-(0.2 + 0.003 * w[0]) / 0.6], (0, 1e4), [start], events=stands, rtol=1e-10, atol=1e-12
    )
    assert rotating.rundown_time(1200, 0.6, 0.2, 0.003) == pytest.approx(found.t_events[0][0], rel=1e-6)


@given(st.floats(10, 1600), SIZE, SIZE)
def test_without_drag_the_rundown_is_even(rpm, inertia, torque):
    """I w / T, and a vanishing drag tends to it."""
    even = inertia * rotating.angular_speed(rpm) / torque
    assert rotating.rundown_time(rpm, inertia, torque) == pytest.approx(even)
    assert rotating.rundown_time(rpm, inertia, torque, 1e-12) == pytest.approx(even, rel=1e-6)


def test_a_tub_bounces_where_the_trade_says():
    """Common practice: a front loader's tub bounces at 2.5-3.3 Hz, so it shakes at 150-200 rpm."""
    got = springs.resonance(7000, 50, 2)
    assert 2.5 < got.frequency < 3.3
    assert got.rpm == pytest.approx(60 * got.frequency)
