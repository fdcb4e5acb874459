"""Calculators of dampers, springs and the bounce, against worked examples and the library uncertainties."""

from __future__ import annotations

import math

import pytest
from uncertainties import ufloat
from uncertainties.umath import log

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value


def pulls(*pairs: tuple[float, float], u: float = 3.0) -> list[Value]:
    """Pulls out and in of each damper, N."""
    return [
        Value(f"damper {n + 1}, {('out', 'in')[way]}", pair[way], u, n, way, f"damper {n + 1}")
        for n, pair in enumerate(pairs)
        for way in (0, 1)
    ]


def one(name: str, inputs, settings=None) -> Value:
    (value,) = CALCULATORS[name].compute(inputs, settings or {})
    return value


def test_the_spread_is_of_drags_not_of_pulls() -> None:
    """Pulls of 62 out and 58 in are one drag of 60 N: two such dampers don't differ, though their pulls do."""
    value = one("drag-spread", {"pulls": pulls((62, 58), (58, 62))})
    assert value.mean == pytest.approx(0.0)


@pytest.mark.parametrize("drags", [(50.0, 70.0), (35.0, 60.0, 71.0), (20.0, 60.0, 60.0, 64.0)])
def test_the_uncertainty_of_the_spread_is_that_of_the_library(drags: tuple[float, ...]) -> None:
    """First order, all correlations kept: the library 'uncertainties' gives the same."""
    made = [(ufloat(d, 3) + ufloat(d, 3)) / 2 for d in drags]
    expected = (made[-1] - made[0]) / (sum(made) / len(made))
    value = one("drag-spread", {"pulls": pulls(*((d, d) for d in drags))})
    assert value.mean == pytest.approx(expected.nominal_value)
    assert value.uncertainty == pytest.approx(expected.std_dev)


def test_the_spread_names_the_weak_and_the_strong() -> None:
    """Which damper to look at is said."""
    assert (
        one("drag-spread", {"pulls": pulls((60, 60), (30, 30))}).says == "damper 2 drags least, damper 1 most"
    )


def test_dead_dampers_have_no_share() -> None:
    """Nothing drags: there is no mean to take a share of, and it is said so."""
    with pytest.raises(ValueError, match="pulls: no damper drags"):
        one("drag-spread", {"pulls": pulls((0, 0), (0, 0))})


def test_a_spring_hung_with_two_weights() -> None:
    """5 and 15 kgf stretch a closed spring by 4 and 18 mm: 98.07 N over 14 mm is 7.0 N/mm, 21 N of initial tension.

    One weight alone would have given 12.3 N/mm (common practice: the difference of two loads, not one).
    """
    loads = [Value("lighter", 49.03325, 1.0), Value("heavier", 147.09975, 1.0, 1)]
    reach = [Value("lighter", 0.004, 0.0003), Value("heavier", 0.018, 0.0003, 1)]
    value = one("hung-rate", {"loads": loads, "stretches": reach})
    exact = (ufloat(147.09975, 1) - ufloat(49.03325, 1)) / (ufloat(0.018, 0.0003) - ufloat(0.004, 0.0003))
    assert value.mean == pytest.approx(7004.75)
    assert value.uncertainty == pytest.approx(exact.std_dev)
    assert value.says == "initial tension 21 N"


@pytest.mark.parametrize(
    ("near", "says"),
    [
        (0.010, "initial tension -21 N, below zero: measure the stretch again"),
        (0.0071, "initial tension 0 N"),
    ],
)
def test_no_spring_has_a_tension_below_zero(near: float, says: str) -> None:
    """Statics: an open spring has none (49.03 N over 7 N/mm is 7.0 mm); further is a slip, a hair further is
    chance.
    """
    loads = [Value("lighter", 49.03325, 1.0), Value("heavier", 147.09975, 1.0, 1)]
    reach = [Value("lighter", near, 0.0003), Value("heavier", near + 0.014, 0.0003, 1)]
    assert one("hung-rate", {"loads": loads, "stretches": reach}).says == says


def test_a_heavier_weight_that_stretches_less_is_a_mistake() -> None:
    """The two were mixed up: said by the argument's name, and not computed."""
    loads, reach = [Value("a", 50, 1), Value("b", 150, 1)], [Value("a", 0.02, 0), Value("b", 0.01, 0)]
    with pytest.raises(ValueError, match="lengths: the heavier load"):
        one("hung-rate", {"loads": loads, "stretches": reach})


def test_a_spring_from_its_wire() -> None:
    """Wire 2 mm, coil 20 mm outside, 10 coils: D = 18 mm, 79.3 GPa x 16 / (8 x 5832 x 10) = 2.72 N/mm (Shigley)."""
    sizes = [Value("wire", 0.002, 0.00002), Value("outside", 0.020, 0.0001, 1)]
    value = one("wire-rate", {"sizes": sizes, "coils": [Value("coils", 10, 0.1)]}, {"modulus": 79.3e9})
    d, out, n = ufloat(0.002, 0.00002), ufloat(0.020, 0.0001), ufloat(10, 0.1)
    exact = 79.3e9 * d**4 / (8 * (out - d) ** 3 * n)
    assert value.mean == pytest.approx(2719.5, rel=1e-3)
    assert value.uncertainty == pytest.approx(exact.std_dev, rel=1e-6)


def test_a_wire_as_thick_as_its_coil_is_a_mistake() -> None:
    """Wire and coil were typed the wrong way round."""
    sizes = [Value("wire", 0.020, 0), Value("outside", 0.002, 0)]
    with pytest.raises(ValueError, match="sizes: the coil"):
        one("wire-rate", {"sizes": sizes, "coils": [Value("coils", 10, 0.1)]}, {"modulus": 79.3e9})


def test_where_a_tub_sways_most() -> None:
    """50 kg on two springs of 7 N/mm: sqrt(14000 / 50) / 2 pi = 2.66 Hz, 160 rpm (2.5 to 3.3 Hz: estimate)."""
    value = one("resonance", {"rate": [Value("rate", 7000, 210)]}, {"springs": 2.0, "hung": 50.0})
    assert value.mean * 60 == pytest.approx(159.8, abs=0.1)
    assert value.uncertainty / value.mean == pytest.approx(0.015)
    assert value.says == "hung mass not weighed"


def test_a_swing_timed_is_a_spin_speed() -> None:
    """0.375 s a swing is 160 rpm; 0.01 s of doubt is 2.7 %."""
    value = one("sway-speed", {"period": [Value("swing", 0.375, 0.01)]})
    assert value.mean * 60 == pytest.approx(160.0)
    assert value.uncertainty / value.mean == pytest.approx(0.01 / 0.375)


def test_no_time_is_no_swing() -> None:
    """A period of nothing is said by its name."""
    with pytest.raises(ValueError, match="period: must be above zero"):
        one("sway-speed", {"period": [Value("swing", 0.0, 0.01)]})


def test_damping_from_the_heights_of_swings() -> None:
    """Each swing half as high as the last: delta = ln 2, zeta = 0.1097 (Thomson, 2.7)."""
    heights = [ufloat(16, 1), ufloat(8, 1), ufloat(4, 1)]
    loss = -(-1 * log(heights[0]) + 1 * log(heights[2])) / 2
    exact = loss / ((2 * math.pi) ** 2 + loss**2) ** 0.5
    peaks = [Value(f"swing {n}", h.nominal_value / 1000, 0.001, n) for n, h in enumerate(heights)]
    value = one("decrement", {"peaks": peaks})
    assert value.mean == pytest.approx(0.10965, abs=1e-5)
    assert value.uncertainty == pytest.approx(exact.std_dev, rel=1e-6)


def test_equal_heights_are_said_to_show_no_loss() -> None:
    """Nothing was seen to be lost: the value stays within what could be read, and says so; a fall says nothing."""
    same = one("decrement", {"peaks": [Value(f"swing {n}", 0.03, 0.001, n) for n in range(3)]})
    assert same.mean == 0 and same.uncertainty > 0 and same.says == "no loss seen, the swings stay as high"
    falls = one(
        "decrement", {"peaks": [Value(f"swing {n}", h, 0.001, n) for n, h in enumerate((0.03, 0.0299))]}
    )
    assert falls.mean > 0 and not falls.says


def test_a_loss_is_told_as_friction_too() -> None:
    """Trade's own computing: 50 kg on 14 kN/m with 30 N loses 4 F / k = 8.57 mm a swing (Thomson, 2.8): 30 N
    again.
    """
    stiffness = 14e3
    loss = 4 * 30 / stiffness
    peaks = [Value(f"swing {n}", 0.030 - n * loss, 0.0005, n) for n in range(3)]
    period = [Value("swing", 2 * math.pi * math.sqrt(50 / stiffness), 0.01)]
    (value,) = CALCULATORS["decrement"].compute({"peaks": peaks, "period": period}, {"hung": 50.0})
    assert value.says == "if dry friction takes it all: 30 N over all dampers, with 50 kg hung"
