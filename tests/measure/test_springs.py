"""Springs and dampers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.mechanics import dampers, springs
from wizard.measure.quantities import units

SIZE = st.floats(0.1, 10)


def test_rate_of_a_wire_spring():
    """Source: Shigley, Mechanical Engineering Design, 10th ed., Ex. 10-1: 4.13 lbf/in."""
    rate = springs.helical_rate(
        11.85e6 * units.to_si(1, "psi"), units.to_si(0.037, "in"), units.to_si(0.400, "in"), 10.5
    )
    assert units.from_si(rate, "lbf/in") == pytest.approx(4.13, rel=1e-3)


@given(st.floats(0.001, 0.005), st.floats(0.02, 0.05), st.floats(3, 30))
def test_rate_scales_with_wire_coil_and_turns(wire, mean, coils):
    """Scale laws: fourth power of the wire, inverse third of the coil, inverse of the turns."""
    rate = springs.helical_rate(79.3e9, wire, mean, coils)
    assert springs.helical_rate(79.3e9, 2 * wire, mean, coils) == pytest.approx(16 * rate)
    assert springs.helical_rate(79.3e9, wire, 2 * mean, coils) == pytest.approx(rate / 8)
    assert springs.helical_rate(79.3e9, wire, mean, 2 * coils) == pytest.approx(rate / 2)


def test_natural_frequency_of_thomsons_example():
    """Source: Thomson, Ex. 2.7-1: 10 lb on 30 lb/in with g 386 in/s2 swings at 34.03 rad/s."""
    mass = 10 / 386  # lbf s2/in, with the stiffness in lbf/in
    assert 2 * math.pi * springs.natural_frequency(30, mass) == pytest.approx(34.03, rel=2e-4)


def test_natural_frequency_of_raos_example():
    """Source: Rao, Mechanical Vibrations, Ex. 2.14: 200 kg, 2358 N/m, zeta 0.4037 has a damped period of 2 s."""
    frequency = springs.natural_frequency(2358, 200) * math.sqrt(1 - 0.4037**2)
    assert 1 / frequency == pytest.approx(2, rel=2e-4)


@given(SIZE, SIZE, SIZE)
def test_frequency_keeps_with_the_ratio(stiffness, mass, scale):
    """Stiffness and mass scaled alike leave it; four times as stiff is twice as quick."""
    frequency = springs.natural_frequency(stiffness, mass)
    assert springs.natural_frequency(scale * stiffness, scale * mass) == pytest.approx(frequency)
    assert springs.natural_frequency(4 * stiffness, mass) == pytest.approx(2 * frequency)


@given(st.floats(500, 20000), st.floats(0, 100), st.floats(0.005, 0.05), st.floats(0.005, 0.05))
def test_two_hung_loads_give_rate_and_initial_tension(rate, tension, near, more):
    """A closed spring made up: F = tension + rate x, read at two loads."""
    got = springs.rate_from_loads(
        (tension + rate * near, tension + rate * (near + more)), (near, near + more)
    )
    assert got.rate == pytest.approx(rate, rel=1e-6)
    assert got.initial_tension == pytest.approx(tension, abs=1e-6 * rate)


def test_one_load_alone_would_mislead():
    """Common practice: 40-80 N of initial tension spoils a single load: 200 N at 20 mm isn't 10 N/mm but 7."""
    got = springs.rate_from_loads((130.0, 200.0), (0.010, 0.020))
    assert units.from_si(got.rate, "N/mm") == pytest.approx(7)
    assert got.initial_tension == pytest.approx(60)


def test_rate_uncertainty_agrees_with_the_library():
    """Source: the uncertainties library, on (F2 - F1) / (x2 - x1)."""
    uncertainties = pytest.importorskip("uncertainties")
    f1, f2, x1, x2 = (
        uncertainties.ufloat(v, u) for v, u in ((130, 3), (200, 3), (0.010, 0.0005), (0.020, 0.0005))
    )
    got = springs.rate_from_loads((130, 200), (0.010, 0.020), 3, 0.0005)
    assert got.rate_u == pytest.approx(((f2 - f1) / (x2 - x1)).std_dev, rel=1e-9)


def test_a_dampers_own_weight_cancels():
    """Pulled 62 N up and 58 N down, it drags 60 N."""
    assert dampers.drag(62, 58) == 60
