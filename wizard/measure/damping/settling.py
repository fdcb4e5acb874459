"""How a tub settles after a push, as one number whatever its damping: of a fitted ring-down, for a limit."""

from __future__ import annotations

import math
import reprlib
from dataclasses import dataclass

from wizard.measure.argument_checks import below_one, not_negative, positive
from wizard.measure.damping import decay_model, ringdown
from wizard.measure.damping.ringdown import Ringdown


@dataclass(frozen=True, slots=True)
class Settling:
    """How a tub settles after a push: the ``damping_ratio`` of the tub without friction that settles alike, its
    standard uncertainty, and how many ``swings`` past rest the eye would count.
    """

    damping_ratio: float
    damping_ratio_u: float
    swings: int


PUSH, EYE = 0.015, 0.002
"""How far a tub is pressed, and the least swing the eye sees, m: what a settling is told for."""


def after_push(found: Ringdown, push: float = PUSH, eye: float = EYE) -> Settling:
    """Return how the tub of a fitted decay (lengths in m) settles from ``push``, with ``eye`` the least swing seen,
    m.

    Half swings until ``eye`` is left, counted smoothly, are turned into a ratio by their log decrement: so one number
    stands for dry friction and fluid damping alike. Without friction it is the damping ratio itself. ValueError
    naming the argument. Source: Thomson, 2.7 and 2.8.
    """
    if not isinstance(found, Ringdown):
        raise ValueError(f"found: must be a fitted ring-down, is {reprlib.repr(found)}")
    start, least = positive("push", push), positive("eye", eye)
    if least >= start:
        raise ValueError("eye: must be less than the push")
    zeta, friction = found.damping_ratio, found.friction_offset
    best = alike(zeta, friction, start, least)
    steps = (1e-4, 1e-4 * start)
    slopes = [
        (alike(zeta + dz, friction + df, start, least) - best) / (dz or df)
        for dz, df in ((steps[0], 0.0), (0.0, steps[1]))
    ]
    zz, zf, ff = found.spread
    variance = slopes[0] ** 2 * zz + 2 * slopes[0] * slopes[1] * zf + slopes[1] ** 2 * ff
    shown = ringdown.reversals(start, zeta, friction, least)
    return Settling(best, math.sqrt(max(0.0, variance)), len(shown))


def alike(zeta: float, friction: float, start: float, least: float) -> float:
    """Return the damping ratio of the tub without friction that takes as many half swings from ``start`` to
    ``least``.

    ``friction`` = F/k; lengths in one unit, ``least`` below ``start``. ValueError naming the argument. Source:
    Thomson, 2.7 and 2.8.
    """
    zeta, friction = below_one("zeta", zeta), not_negative("friction", friction)
    if positive("least", least) >= positive("start", start):
        raise ValueError("least: must be less than the start")
    q = decay_model.swing_loss(zeta)
    if zeta < 1e-6:
        if friction <= 0:
            return 0.0
        halves = (start - least) / (2 * friction)
    else:
        shift = friction * (1 + q) / (1 - q)
        halves = math.log1p((start - least) / (least + shift)) / (zeta * math.pi / math.sqrt(1 - zeta * zeta))
    loss = math.log(start / least) / halves
    return loss / math.hypot(math.pi, loss)
