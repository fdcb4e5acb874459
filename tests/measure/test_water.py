"""Water at stake, and the age of a hose."""

import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.quantities import units
from wizard.measure.water_electrical import water

PSI_80 = units.to_si(80, "psi")


def test_flow_and_time_make_a_volume():
    """Half a litre a second for an hour is 1.8 cubic metres."""
    assert water.flood(0.0005, 3600) == pytest.approx(1.8)


@pytest.mark.parametrize(("reynolds", "factor"), [(100, 0.64), (2000, 0.032), (1e5, 0.0185139)])
def test_friction_factors(reynolds, factor):
    """Source: 64 / Re while laminar; 0.0185139 at Re 1e5 and roughness 1e-4 is fluids.friction_factor's docstring."""
    assert water.friction_factor(reynolds, 1e-4) == pytest.approx(factor, abs=1e-7)


@pytest.mark.parametrize(
    ("reynolds", "factor"), [(1e4, 0.0309), (1e5, 0.0180), (1e6, 0.0116), (1e7, 0.0081), (1e8, 0.0059)]
)
def test_smooth_pipe_factors_of_the_handbook(reynolds, factor):
    """Source: White, Fluid Mechanics, 6.6, smooth walls by Prandtl's law (from memory)."""
    assert water.friction_factor(reynolds) == pytest.approx(factor, abs=6e-5)


@given(st.floats(3e3, 1e8), st.floats(0, 0.09))
def test_the_factor_solves_colebrooks_equation(reynolds, rough):
    """Source: Colebrook 1939."""
    root = 1 / math.sqrt(water.friction_factor(reynolds, rough))
    assert root == pytest.approx(-2 * math.log10(rough / 3.7 + 2.51 * root / reynolds), rel=1e-10)


def test_a_short_hole_without_friction_is_torricelli():
    """Source: v = sqrt(2 p / rho) where only the leaving head is lost."""
    flow = water.hose_flow(3e5, 0.01, 0.0, entrance=0.0)
    assert flow == pytest.approx(math.pi / 4 * 0.01**2 * math.sqrt(2 * 3e5 / water.DENSITY), rel=1e-12)


def test_a_long_thin_hose_is_poiseuille():
    """Source: Hagen-Poiseuille, Q = pi p d^4 / (128 mu L), while laminar."""
    flow = water.hose_flow(1e3, 0.002, 50.0, entrance=0.0, leaving=0.0)
    assert flow == pytest.approx(math.pi * 1e3 * 0.002**4 / (128 * water.VISCOSITY * 50), rel=1e-9)


@given(st.floats(1e4, 1e6), st.floats(0.005, 0.02), st.floats(0.1, 5), st.floats(0, 1e-4))
def test_the_flow_loses_exactly_the_pressure(pressure, bore, length, roughness):
    """Darcy-Weisbach with the flow found gives the pressure back (turbulent)."""
    flow = water.hose_flow(pressure, bore, length, roughness)
    speed = flow / (math.pi / 4 * bore**2)
    reynolds = water.DENSITY * speed * bore / water.VISCOSITY
    lost = (
        (water.friction_factor(reynolds, roughness / bore) * length / bore + 1.5)
        * water.DENSITY
        * speed**2
        / 2
    )
    assert lost == pytest.approx(pressure, rel=1e-6)


@given(st.floats(1e3, 1e6), st.floats(1.01, 3))
def test_more_pressure_or_bore_more_flow_more_length_less(pressure, more):
    """Which way each argument pulls."""
    flow = water.hose_flow(pressure, 0.01, 1.5)
    assert water.hose_flow(more * pressure, 0.01, 1.5) > flow
    assert water.hose_flow(pressure, 0.01 * more, 1.5) > flow
    assert water.hose_flow(pressure, 0.01, 1.5 * more) < flow
    assert water.hose_flow(pressure, 0.01, 1.5, 1e-4) < flow


def test_no_pressure_no_flow():
    """Limit at zero."""
    assert water.hose_flow(0.0, 0.01, 1.5) == 0


def test_a_burst_hose_puts_out_what_the_trade_says():
    """Common practice: a burst fill hose puts out up to about 500 US gallons an hour.

    What decides is the pressure that the house pipes keep at the open tap while it flows: with 1 bar left a 10 mm
    bore gives just that; with the whole 3 bar of a usual supply kept, twice as much; at the 80 psi of the code, more.
    """
    per_hour = [units.from_si(water.hose_flow(p, 0.010, 1.5), "gal/h") for p in (1e5, 3e5, PSI_80)]
    assert per_hour[0] == pytest.approx(500, rel=0.05)
    assert 500 < per_hour[1] < 1000
    assert per_hour[1] < per_hour[2] < 1500


def test_the_pressure_of_the_code():
    """Source: Uniform Plumbing Code 608.2: a regulator above 80 psi, 551.6 kPa."""
    assert units.from_si(PSI_80, "kPa") == pytest.approx(551.6, abs=0.05)


def test_a_hose_ages_by_the_calendar():
    """Five years with one leap day, shown in years of 365.25 days."""
    age = water.hose_age(date(2019, 3, 1), date(2024, 3, 1))
    assert age == 1827 * 86400
    assert units.from_si(age, "years") == pytest.approx(5, abs=0.003)
    assert water.hose_age(date(2024, 3, 1), date(2024, 3, 1)) == 0
