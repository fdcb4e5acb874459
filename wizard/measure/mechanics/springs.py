"""Springs: their rate from the wire or from hung loads, and where a tub on them resonates."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.measure.argument_checks import not_negative, positive, series


@dataclass(frozen=True, slots=True)
class Rate:
    """A spring ``rate`` in N/m with its standard uncertainty ``rate_u``, and its ``initial_tension`` in N."""

    rate: float
    rate_u: float
    initial_tension: float


@dataclass(frozen=True, slots=True)
class Resonance:
    """Where a tub bounces: ``frequency`` in Hz, and the drum speed ``rpm`` that excites it once a turn."""

    frequency: float
    rpm: float


def helical_rate(shear_modulus: float, wire: float, mean_diameter: float, active_coils: float) -> float:
    """Return the rate of a helical spring, N/m: G d^4 / (8 D^3 n).

    ``shear_modulus`` Pa, ``wire`` and ``mean_diameter`` m, all above zero; the wire thinner than the coil.
    ValueError naming the argument. Source: Shigley, Mechanical Engineering Design, 10th ed., eq. 10-9.
    """
    thick, mean = positive("wire", wire), positive("mean_diameter", mean_diameter)
    if thick >= mean:
        raise ValueError("wire: must be thinner than the coil's mean diameter")
    coils = positive("active_coils", active_coils)
    return positive("shear_modulus", shear_modulus) * thick * (thick / mean) ** 3 / (8 * coils)


def rate_from_loads(
    loads: tuple[float, float], lengths: tuple[float, float], load_u: float = 0.0, length_u: float = 0.0
) -> Rate:
    """Return the rate of an extension spring from two hung loads, N, and the lengths they stretch it by, m.

    Two loads, not one: a closed spring doesn't open before its initial tension is passed. ``load_u`` and
    ``length_u`` are the standard uncertainties of one reading. ValueError if either pair is equal, or falls
    against the other. Source: k = dF / dx; uncertainty by GUM 5.1.2.
    """
    first, second = (not_negative("loads", load) for load in _two("loads", loads))
    near, far = _two("lengths", lengths)
    if first == second:
        raise ValueError("loads: must differ")
    if (far - near) * (second - first) <= 0:
        raise ValueError("lengths: the heavier load must stretch the spring further")
    positive("lengths", abs(far - near))
    rate = (second - first) / (far - near)
    per_load, per_length = 1 / (far - near), rate / (far - near)
    force_u, reach_u = not_negative("load_u", load_u), not_negative("length_u", length_u)
    spread = math.sqrt(2) * math.hypot(per_load * force_u, per_length * reach_u)
    return Rate(rate, spread, first - rate * near)


def _two(name: str, values: tuple[float, float]) -> tuple[float, ...]:
    """Return two numbers; ValueError naming ``name`` if they are not two."""
    numbers = series(name, values)
    if len(numbers) != 2:
        raise ValueError(f"{name}: must be two, are {len(numbers)}")
    return numbers


def natural_frequency(stiffness: float, mass: float) -> float:
    """Return sqrt(k / m) / (2 pi), Hz; ``stiffness`` N/m and ``mass`` kg above zero. Source: Thomson, 2.2."""
    return math.sqrt(positive("stiffness", stiffness) / positive("mass", mass)) / (2 * math.pi)


def resonance(rate: float, mass: float, count: int = 1) -> Resonance:
    """Return where a tub of hung ``mass`` kg bounces on ``count`` springs of ``rate`` N/m side by side.

    ValueError naming the argument. The springs upright; slanted ones are softer.
    """
    stiff, heavy = positive("rate", rate) * positive("count", count), positive("mass", mass)
    frequency = math.sqrt(stiff / heavy) / (2 * math.pi)
    return Resonance(frequency, 60 * frequency)
