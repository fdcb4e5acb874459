"""A tub shaken by an unbalance at one speed: closed forms, dry friction by its equivalent viscous damping."""

from __future__ import annotations

import math

from wizard.practice.physics.tub import Tub


def amplitude(tub: Tub, force: float, omega: float) -> float:
    """Return how far the tub swings, m, under ``force`` N that turns at ``omega`` rad/s, above zero.

    Dry friction takes the work of 4 F X a cycle, as viscous damping of 4 F / (pi omega X) does (Thomson, sec. 3.9);
    that makes a quadratic of X. Where the bushes take all of the movement nothing slides, and they are a spring.
    An undamped tub at resonance swings without bound: infinite.
    """
    if stuck := _held(tub, force, omega):
        return stuck
    inertia, drag = tub.stiffness - tub.mass * omega**2, tub.viscous * omega
    dry = 4 / math.pi * tub.friction
    a, b, c = inertia**2 + drag**2, drag * dry, dry**2 - force**2
    if c >= 0:
        return 0.0
    if a == 0:
        return math.inf if b == 0 else -c / (2 * b)
    return (-b + math.sqrt(max(0.0, b * b - a * c))) / a


def _held(tub: Tub, force: float, omega: float) -> float:
    """Return the swing while no damper slides; 0 where they do, or where nothing gives."""
    if math.isinf(tub.bush) or tub.friction <= 0:
        return 0.0
    spring = tub.stiffness + tub.bush - tub.mass * omega**2
    found = force / max(math.hypot(spring, tub.viscous * omega), 1e-9)
    return found if found * tub.bush <= tub.friction else 0.0


def transmitted(tub: Tub, swing: float, omega: float) -> float:
    """Return the force, N, that springs and dampers pass to the cabinet while the tub swings ``swing`` m.

    Spring and fluid a quarter turn apart, the first harmonic of dry friction on top (4/pi F), or what its bushes
    pass where that is less.
    """
    dry = 4 / math.pi * tub.friction
    if math.isfinite(tub.bush):
        dry = min(dry, tub.bush * swing)
    return swing * math.hypot(tub.stiffness, tub.viscous * omega) + (dry if swing > 0 else 0.0)
