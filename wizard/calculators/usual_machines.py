"""What machines of each kind are usually like, for what is computed where nobody can measure it. All estimates."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.measure_vocabulary import DrumAxis


@dataclass(frozen=True, slots=True)
class Usual:
    """A usual machine: whole and hung ``mass``, kg; drum ``radius``, m; ``bounce`` Hz; ``viscous`` damping, N s/m,
    and dry ``friction``, N; spin ``rpm``; the drum's ``axis``.
    """

    whole: float
    hung: float
    radius: float
    bounce: float
    viscous: float
    friction: float
    rpm: float
    axis: DrumAxis

    @property
    def stiffness(self) -> float:
        """N/m, so that the hung mass bounces as it does."""
        from math import tau

        return self.hung * (tau * self.bounce) ** 2


MACHINES = (
    Usual(85, 52, 0.25, 2.7, 120, 50, 1200, DrumAxis.HORIZONTAL),
    Usual(55, 38, 0.25, 2.4, 105, 50, 850, DrumAxis.VERTICAL),
    Usual(65, 42, 0.245, 1.65, 80, 30, 650, DrumAxis.VERTICAL),
)
"""Front loader, hung top loader, top loader on its base: the middle of what practice names. Estimates."""


def usual(row: float) -> Usual | None:
    """The machine that a choice of kind stands for; None where the kind isn't among them."""
    index = round(row)
    return MACHINES[index] if 0 <= index < len(MACHINES) else None
