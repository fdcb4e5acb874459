"""Whether a machine walks: what the unbalance passes to the feet, and what the floor holds."""

from __future__ import annotations

import math
from dataclasses import dataclass

from wizard.domain.measure_vocabulary import DrumAxis
from wizard.measure.argument_checks import finite, not_negative, one_of, positive
from wizard.measure.mechanics import rotating, springs
from wizard.measure.quantities.unit_table import GRAVITY


@dataclass(frozen=True, slots=True)
class AtSpeed:
    """At one speed: the ``unbalance`` force on the tub and the ``transmitted`` force, N; the walk
    ``margin``.
    """

    unbalance: float
    transmitted: float
    margin: float


def slip_force(mass: float, friction: float, axis: DrumAxis = DrumAxis.HORIZONTAL) -> float:
    """Return the turning force, N, at which a machine of ``mass`` kg slips; it lifts at M g.

    ``axis`` of the drum: 'vertical' gives mu M g, 'horizontal' mu M g / sqrt(1 + mu^2), since the same force
    lifts as it pushes. ValueError naming the argument. Source: statics.
    """
    grip = not_negative("friction", friction)
    hold = positive("mass", mass) * GRAVITY * grip
    return hold if _axis(axis) is DrumAxis.VERTICAL else hold / math.hypot(1, grip)


def turning_margin(mass: float, friction: float, force: float, axis: DrumAxis = DrumAxis.HORIZONTAL) -> float:
    """Return the least walk margin over a turn of a rotating ``force``, N, on a machine of ``mass`` kg.

    Below 1 exactly when the force is above ``slip_force``. Infinite without force. Source: statics; on a
    horizontal axis mu sqrt(W^2 - F^2) / F, and once it lifts (F above W) mu (W - F) / F.
    """
    whole, grip = positive("mass", mass), not_negative("friction", friction)
    return _margin(whole * GRAVITY, grip, not_negative("force", force), _axis(axis))


def _axis(axis: DrumAxis) -> DrumAxis:
    """Return the axis, checked."""
    return DrumAxis(one_of("axis", axis, DrumAxis))


def _margin(weight: float, grip: float, push: float, axis: DrumAxis) -> float:
    """Return the margin of what was checked."""
    if push == 0:
        return math.inf
    if axis is DrumAxis.VERTICAL:
        return grip * weight / push
    if push >= weight:
        return grip * (weight / push - 1)
    return grip * math.sqrt(1 - (push / weight) ** 2) * (weight / push)


def at_speed(
    rpm: float,
    unbalance_mass: float,
    radius: float,
    hung_mass: float,
    stiffness: float,
    damping: float,
    machine_mass: float,
    friction: float,
    friction_force: float = 0.0,
    axis: DrumAxis = DrumAxis.HORIZONTAL,
) -> AtSpeed:
    """Return the forces and the walk margin that an unbalance gives at ``rpm``.

    Masses kg, ``radius`` m, ``stiffness`` N/m, viscous ``damping`` N s/m, ``friction`` the floor's
    coefficient, ``friction_force`` of dry dampers N (its first harmonic, 4/pi of it, is passed on).
    ValueError naming the argument. Source: Thomson, secs. 3.2 and 3.5, one degree of freedom.
    """
    heavy, stiff = positive("hung_mass", hung_mass), positive("stiffness", stiffness)
    uneven, whole = not_negative("unbalance_mass", unbalance_mass), positive("machine_mass", machine_mass)
    grip, turning = not_negative("friction", friction), rotating.unbalance_force(uneven, radius, rpm)
    natural = springs.natural_frequency(stiff, heavy)
    zeta = not_negative("damping", damping) / (2 * math.sqrt(stiff * heavy))
    dry = 4 / math.pi * not_negative("friction_force", friction_force)
    passed = rotating.transmissibility(finite("rpm", rpm / 60 / natural), finite("damping", zeta))
    if math.isinf(passed):
        raise ValueError("damping: must be above zero at resonance, where an undamped tub has no bound")
    total = turning * passed + dry if turning > 0 else 0.0
    if math.isinf(total):
        raise ValueError("damping: is too large to compute with")
    return AtSpeed(turning, total, _margin(whole * GRAVITY, grip, total, _axis(axis)))
