"""Stored energy."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.water_electrical import electrical

VOLT = st.floats(60, 400)


def test_plug_pins_after_one_second():
    """Source: IEC 60335-1, cl. 22.5 (number from memory): 34 V after 1 s; from a 230 V peak that is R C 0.4428 s."""
    assert electrical.discharge_time(0.4428e6, 1e-6, 230 * math.sqrt(2), 34) == pytest.approx(1, abs=1e-4)


def test_a_bus_bled_by_its_own_resistor_takes_minutes():
    """Common practice: 325 V on about 680 uF and 330 kohm to 50 V takes 7 min, so 5 min of waiting isn't enough.

    Source of the 50 V: 29 CFR 1910.303(g)(2)(i).
    """
    assert electrical.discharge_time(330e3, 680e-6, 325, 50) == pytest.approx(420, rel=0.01)


def test_a_run_capacitor_through_a_resistor_is_empty_in_seconds():
    """Common practice: 15 kohm for 5 s on a 60 uF run capacitor charged to 350 V leaves less than 2 V."""
    assert electrical.discharge_time(15e3, 60e-6, 350, 2) < 5


def test_discharge_follows_the_circuit():
    """Source: scipy.integrate.solve_ivp on V' = -V / (R C)."""
    from scipy.integrate import solve_ivp

    end = electrical.discharge_time(470e3, 470e-6, 325, 50)
    found = solve_ivp(lambda t, v: -v / (470e3 * 470e-6), (0, end), [325.0], rtol=1e-10, atol=1e-10)
    assert found.y[0, -1] == pytest.approx(50, rel=1e-6)


@given(VOLT, st.floats(1e3, 1e6), st.floats(1e-6, 1e-3))
def test_time_and_voltage_undo_each_other(start, resistance, capacitance):
    """Waiting the time given leaves the safe voltage (V exp(-t / RC)); a doubled R or C doubles the wait."""
    wait = electrical.discharge_time(resistance, capacitance, start, 50)
    assert start * math.exp(-wait / (resistance * capacitance)) == pytest.approx(50)
    assert electrical.discharge_time(2 * resistance, capacitance, start, 50) == pytest.approx(2 * wait)
    assert electrical.discharge_time(resistance, 2 * capacitance, start, 50) == pytest.approx(2 * wait)


def test_nothing_to_wait_for_below_the_safe_voltage():
    """Zero, not a negative time."""
    assert electrical.discharge_time(1e6, 1e-6, 50, 50) == 0
    assert electrical.discharge_time(1e6, 1e-6, 0, 50) == 0
    assert electrical.wait_left(60, 50, 10, 50) == 0
    assert electrical.wait_left(60, 0, 10, 50) == 0


@given(VOLT, st.floats(10, 1000), st.floats(1, 120))
def test_two_readings_tell_the_wait_left(start, tau, seconds):
    """Whatever R and C are: from readings on one exponential the time left to 50 V comes out."""
    second = start * math.exp(-seconds / tau)
    left = tau * math.log(second / 50) if second > 50 else 0
    assert electrical.wait_left(start, second, seconds, 50) == pytest.approx(left, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("second", [325.0, 330.0])
def test_a_bus_that_does_not_fall_never_gets_there(second):
    """Infinite: the step that reads it stops the job."""
    assert electrical.wait_left(325, second, 60, 50) == math.inf
