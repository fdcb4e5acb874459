"""A tub on its springs: one mass, one spring, viscous and dry damping."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tub:
    """What swings: ``mass`` kg above zero, ``stiffness`` N/m above zero, ``viscous`` N s/m, ``friction`` N.

    ``bush`` N/m is the rate of the rubber between the dry dampers and the tub: below ``friction`` / ``bush`` of
    movement it gives and nothing slides. Infinite: dry friction as in a textbook.
    """

    mass: float
    stiffness: float
    viscous: float = 0.0
    friction: float = 0.0
    bush: float = math.inf

    @property
    def natural(self) -> float:
        """The undamped natural frequency, rad/s: sqrt(k / M)."""
        return math.sqrt(self.stiffness / self.mass)

    @property
    def damping_ratio(self) -> float:
        """The viscous damping ratio: c / (2 sqrt(k M))."""
        return self.viscous / (2 * math.sqrt(self.stiffness * self.mass))

    @property
    def dead_band(self) -> float:
        """How far off its middle friction may hold it at rest, m: F / k."""
        return self.friction / self.stiffness
