"""The free decay of a practice tub against textbooks, and against an integration that knows no closed form."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from wizard.practice.physics import decay
from wizard.practice.physics.tub import Tub

POUND, INCH, G_IN = 4.4482216152605, 0.0254, 386.0


def thomson_tub() -> Tub:
    """W 10 lb, k 30 lb/in, c 0.12 lb s/in."""
    return Tub(10 * POUND / (G_IN * INCH), 30 * POUND / INCH, 0.12 * POUND / INCH)


def test_natural_frequency_and_damping_ratio() -> None:
    """Thomson, Theory of Vibration with Applications, Ex. 2.7-1: 34.03 rad/s, 0.0681 (0.2 %)."""
    tub = thomson_tub()
    assert tub.natural == pytest.approx(34.03, rel=0.002)
    assert tub.damping_ratio == pytest.approx(0.0681, rel=0.002)


def test_log_decrement() -> None:
    """Thomson, Ex. 2.7-1: 0.429 from one swing to the next on the same side (0.2 %)."""
    first, second = decay.same_side_heights(thomson_tub(), 0.02, 2, 0.0)
    assert math.log(first / second) == pytest.approx(0.429, rel=0.002)


@pytest.mark.parametrize("cycles", [1, 2, 3, 5])
def test_half_the_amplitude_in_n_cycles(cycles: int) -> None:
    """Thomson, Ex. 2.7-2: n zeta = 0.110 (1 %)."""
    zeta = 0.110 / cycles
    tub = Tub(50.0, 14_000.0, 2 * zeta * math.sqrt(14_000.0 * 50.0))
    left = abs(decay.turning_points(tub, 0.02)[2 * cycles - 1])
    assert left == pytest.approx(0.01, rel=0.01)


def test_a_quarter_in_half_a_cycle() -> None:
    """Rao, Mechanical Vibrations, Ex. 2.14: 200 kg, 2 s, c 554.5 N s/m and k 2358 N/m fall to a quarter (0.1 %)."""
    tub = Tub(200.0, 2358.0, 554.5)
    assert decay.period(tub) == pytest.approx(2.0, rel=0.001)
    assert abs(decay.turning_points(tub, 1.0)[0]) == pytest.approx(0.25, rel=0.001)
    assert tub.damping_ratio == pytest.approx(0.4037, rel=0.001)


def test_dry_friction_decays_evenly() -> None:
    """Thomson, 2.8: 2 F/k less each half swing, the frequency unchanged; exact."""
    tub = Tub(50.0, 14_000.0, 0.0, 28.0)
    points = decay.turning_points(tub, 0.03)
    heights = [0.03, *map(abs, points)]
    assert all(a - b == pytest.approx(2 * 0.002, abs=1e-12) for a, b in pairwise(heights))
    assert decay.period(tub) == pytest.approx(math.tau / tub.natural, rel=1e-12)
    assert all(a * b < 0 for a, b in pairwise(points))


@pytest.mark.parametrize(
    ("friction", "turned"),
    [(180.0, (-4,)), (90.0, (-17, 4)), (50.0, (-23, 16, -9, 1)), (320.0, ()), (240.0, ())],
)
def test_reversals_by_friction_of_the_project_s_own_calculation(
    friction: float, turned: tuple[int, ...]
) -> None:
    """Own calculation of this project: 50 kg on 14 kN/m released from 30 mm, reversals in mm (0.6 mm).

    240 and 320 N stop it on the side where it was let go.
    """
    points = decay.turning_points(Tub(50.0, 14_000.0, 0.0, friction), 0.03, 0.0005)
    assert [round(1000 * p) for p in points] == pytest.approx(turned, abs=1)


@pytest.mark.parametrize(("viscous", "friction"), [(0.0, 30.0), (60.0, 30.0), (120.0, 90.0)])
def test_turning_points_are_those_of_an_integration(viscous: float, friction: float) -> None:
    """Against solve_ivp (scipy) with friction smoothed over 0.1 mm/s: the first three within 0.2 mm."""
    tub = Tub(50.0, 14_000.0, viscous, friction)

    def pull(_: float, state: np.ndarray) -> list[float]:
        held = friction * math.tanh(state[1] / 1e-4)
        return [state[1], (-tub.stiffness * state[0] - viscous * state[1] - held) / tub.mass]

    found = solve_ivp(pull, (0, 1.2), [0.03, 0.0], "Radau", max_step=0.004, rtol=1e-6, atol=1e-9)
    path = found.y[0]
    turns = [v for a, v, b in zip(path, path[1:], path[2:], strict=False) if (v - a) * (b - v) < 0]
    said = [p for p in decay.turning_points(tub, 0.03) if abs(p) > tub.dead_band][:3]
    assert said == pytest.approx(turns[: len(said)], abs=2e-4)


def test_a_tub_that_is_held_settles_at_once_and_one_that_is_not_swings_on() -> None:
    """The gap of its rests is 2 F/k (Thomson, 2.8), at most what it was lifted and pressed."""
    good, dead = Tub(50.0, 14_000.0, 120.0, 150.0), Tub(50.0, 14_000.0, 25.0, 4.0)
    assert decay.swings_past_rest(good, 0.0175, 0.002) <= 1 < 6 < decay.swings_past_rest(dead, 0.0175, 0.002)
    assert decay.rest_gap(good, 0.03) == pytest.approx(2 * 150 / 14_000)
    assert decay.rest_gap(Tub(50.0, 14_000.0, 0.0, 900.0), 0.03) == pytest.approx(0.06)


def test_the_settling_ratio_of_a_tub_without_friction_is_its_damping_ratio() -> None:
    """By its definition; exact."""
    tub = Tub(50.0, 14_000.0, 120.0)
    assert decay.settling_ratio(tub) == pytest.approx(tub.damping_ratio, rel=1e-9)
