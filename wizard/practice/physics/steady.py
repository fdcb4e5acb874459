"""A tub shaken by an unbalance at one speed, by the first harmonic: closed forms, and one equation solved where dry
dampers sit in rubber.
"""

from __future__ import annotations

import math

from scipy.optimize import brentq

from wizard.practice.physics.tub import Tub

MOST_DOUBLINGS = 60


def amplitude(tub: Tub, force: float, omega: float) -> float:
    """Return how far the tub swings, m, under ``force`` N that turns at ``omega`` rad/s, above zero.

    Dry friction takes the work of 4 F X a cycle, as viscous damping of 4 F / (pi omega X) does (Thomson, sec. 3.9);
    that makes a quadratic of X. In rubber bushes it is an elastoplastic element, by its equivalent spring and damping
    (Caughey 1960, memory), and X is found by its root. An undamped tub at resonance swings without bound: infinite.
    """
    if force <= 0:
        return 0.0
    if math.isfinite(tub.bush) and tub.friction > 0:
        return _in_rubber(tub, force, omega)
    inertia, drag = tub.stiffness - tub.mass * omega**2, tub.viscous * omega
    dry = 4 / math.pi * tub.friction
    a, b, c = inertia**2 + drag**2, drag * dry, dry**2 - force**2
    if c >= 0:
        return 0.0
    if a == 0:
        return math.inf if b == 0 else -c / (2 * b)
    return (-b + math.sqrt(max(0.0, b * b - a * c))) / a


def transmitted(tub: Tub, swing: float, omega: float) -> float:
    """Return the force, N, that springs and dampers pass to the cabinet while the tub swings ``swing`` m: its first
    harmonic.
    """
    if swing <= 0:
        return 0.0
    spring, loss = _passing(tub, swing, omega)
    return swing * math.hypot(spring, loss)


def _passing(tub: Tub, swing: float, omega: float) -> tuple[float, float]:
    """Return the equivalent spring, and damping times speed, N/m both, of all that holds the tub at a swing."""
    drag = tub.viscous * omega
    if not math.isfinite(tub.bush):
        return tub.stiffness, drag + 4 / math.pi * tub.friction / swing
    slack = tub.friction / tub.bush
    if swing <= slack:
        return tub.stiffness + tub.bush, drag
    angle = math.acos(1 - 2 * slack / swing)
    spring = tub.bush / math.pi * (angle - math.sin(2 * angle) / 2)
    loss = 4 * tub.friction / (math.pi * swing) * (1 - slack / swing)
    return tub.stiffness + spring, drag + loss


def _in_rubber(tub: Tub, force: float, omega: float) -> float:
    """Return the swing of a tub whose dry dampers sit in rubber."""

    def short(swing: float) -> float:
        spring, loss = _passing(tub, swing, omega)
        return swing * math.hypot(spring - tub.mass * omega**2, loss) - force

    slack = tub.friction / tub.bush
    held = math.hypot(tub.stiffness + tub.bush - tub.mass * omega**2, tub.viscous * omega)
    if held * slack >= force:
        return force / held
    far = 2 * slack
    for _ in range(MOST_DOUBLINGS):
        if short(far) > 0:
            return float(brentq(short, far / 2, far, xtol=1e-7)) if short(far / 2) < 0 else far / 2
        far *= 2
    return math.inf
