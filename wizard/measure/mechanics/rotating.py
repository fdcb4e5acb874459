"""What a turning drum does: unbalance, what passes to the cabinet, balance grades, walking, running down."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.measure.argument_checks import not_negative, positive


@dataclass(frozen=True, slots=True)
class PermissibleUnbalance:
    """``eccentricity`` of the mass centre in m, and the ``unbalance`` it amounts to in kg m."""

    eccentricity: float
    unbalance: float


@dataclass(frozen=True, slots=True)
class Rundown:
    """A hand spin that ran down evenly: ``start`` speed in rpm, ``deceleration`` in rpm/s (both positive)."""

    start: float
    deceleration: float


def angular_speed(rpm: float) -> float:
    """Return rad/s for ``rpm`` (not negative)."""
    return not_negative("rpm", rpm) * math.pi / 30


def unbalance_force(mass: float, radius: float, rpm: float) -> float:
    """Return the turning force of an unbalance, N: m r w^2.

    ``mass`` kg and ``radius`` m not negative. ValueError naming the argument. Source: ISO 21940-11, 3.
    """
    return not_negative("mass", mass) * not_negative("radius", radius) * angular_speed(rpm) ** 2


def unbalance_response(ratio: float, damping_ratio: float) -> float:
    """Return M X / (m e): how far a sprung mass orbits, against what it would without springs.

    ``ratio``: speed over natural frequency. 0 at rest, 1 far above resonance, infinite at an undamped one.
    ValueError naming the argument if negative or not finite. Source: Thomson, eq. 3.2-4.
    """
    r, zeta = not_negative("ratio", ratio), not_negative("damping_ratio", damping_ratio)
    if r > 1:  # divided through by r^2, so that no square overflows
        return _over(1.0, math.hypot(1 - 1 / r / r, 2 * zeta / r))
    return _over(r * r, math.hypot(1 - r * r, 2 * zeta * r))


def transmissibility(ratio: float, damping_ratio: float) -> float:
    """Return the force passed to the cabinet over the force on the sprung mass.

    1 at rest and at ratio sqrt 2 whatever the damping; infinite at an undamped resonance. ValueError
    naming the argument if negative or not finite. Source: Thomson, sec. 3.5.
    """
    r, zeta = not_negative("ratio", ratio), not_negative("damping_ratio", damping_ratio)
    if r > 1:
        return _over(math.hypot(1 / r, 2 * zeta) / r, math.hypot(1 - 1 / r / r, 2 * zeta / r))
    return _over(math.hypot(1, 2 * zeta * r), math.hypot(1 - r * r, 2 * zeta * r))


def _over(top: float, bottom: float) -> float:
    """Return ``top / bottom``, infinite where the bottom is zero."""
    return top / bottom if bottom > 0 else math.inf


def permissible_unbalance(grade: float, rpm: float, mass: float) -> PermissibleUnbalance:
    """Return what a balance grade allows at ``rpm`` on a rotor of ``mass`` kg.

    ``grade``: the G number, mm/s; all above zero. Source: ISO 21940-11: e w = G. No grade is given there
    for a washer's drum: advice, never a verdict.
    """
    eccentricity = positive("grade", grade) / 1000 / angular_speed(positive("rpm", rpm))
    return PermissibleUnbalance(eccentricity, eccentricity * positive("mass", mass))


def rundown(turns: float, seconds: float) -> Rundown:
    """Return the speed a hand spin began with and its even loss, from ``turns`` counted in ``seconds``.

    Dry friction loses speed evenly, so the mean speed is half the first. Belt off; a direct drive's magnets
    void it. ValueError unless both are above zero.
    """
    count, time = positive("turns", turns), positive("seconds", seconds)
    start = 2 * count / time * 60
    return Rundown(start, start / time)


def rundown_time(rpm: float, inertia: float, friction_torque: float, viscous: float = 0.0) -> float:
    """Return the seconds from ``rpm`` to standstill.

    ``inertia`` kg m2 and ``friction_torque`` N m above zero, ``viscous`` N m s. Source: I w' = -T - c w,
    solved: (I / c) ln(1 + c w / T), and I w / T with no viscous part.
    """
    speed = angular_speed(rpm)
    torque = positive("friction_torque", friction_torque)
    mass = positive("inertia", inertia)
    drag = not_negative("viscous", viscous) * speed / torque
    grown = math.log1p(drag) / drag if drag > 0 else 1.0
    return mass * speed / torque * grown
