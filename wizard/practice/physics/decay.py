"""A tub that was pressed and let go: closed forms, exact between one turning point and the next."""

from __future__ import annotations

import math

from wizard.measure.damping import ringdown, settling
from wizard.practice.physics.tub import Tub

OVERDAMPED = 0.999
"""A tub damped this well or better does not swing past rest at all."""


def turning_points(tub: Tub, push: float, seen: float = 0.0, most: int = 100) -> tuple[float, ...]:
    """Return where a tub let go at ``push`` m turns back, signed, down to ``seen`` m, until friction holds it.

    Where it stops short of its middle it turned nowhere. Source: Thomson, Theory of Vibration with Applications, 2.7
    and 2.8.
    """
    if tub.damping_ratio >= OVERDAMPED or push <= 0:
        return ()
    found = ringdown.reversals(push, tub.damping_ratio, tub.dead_band, seen, most)
    crossed = (p for n, p in enumerate(found) if (p < 0) == (n % 2 == 0))
    return tuple(crossed)


def swings_past_rest(tub: Tub, push: float, seen: float) -> int:
    """Return how many swings past rest an eye counts that sees ``seen`` m, both sides together."""
    return len(turning_points(tub, push, seen))


def same_side_heights(tub: Tub, push: float, count: int, least: float) -> tuple[float, ...]:
    """Return the heights, m, of the first ``count`` swings past rest to one side, none below ``least``."""
    found = [abs(p) for p in turning_points(tub, push)][::2]
    padded = [*found, *([0.0] * count)]
    return tuple(max(height, least) for height in padded[:count])


def settling_ratio(tub: Tub, push: float = settling.PUSH, seen: float = settling.EYE) -> float:
    """Return the damping ratio of a tub without friction that settles as this one does, from ``push`` to ``seen``."""
    zeta = min(tub.damping_ratio, OVERDAMPED)
    if tub.dead_band >= (push - seen) / 2:  # The first half swing ends below what is seen.
        return OVERDAMPED
    return settling.alike(zeta, tub.dead_band, push, seen)


def period(tub: Tub) -> float:
    """Return the time of one swing, s: dry friction does not change it (Thomson, 2.8)."""
    zeta = min(tub.damping_ratio, OVERDAMPED)
    return math.tau / (tub.natural * math.sqrt(1 - zeta * zeta))


def rest_gap(tub: Tub, reach: float) -> float:
    """Return how far apart a tub rests that was lifted and pressed by ``reach`` m and led to rest: 2 F / k, at most
    twice the reach.
    """
    return 2 * min(tub.dead_band, reach)
