"""What a mistake costs: a repair for nothing, and a fault left behind. In minutes of work, what a part is worth too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.fault_ranking import FaultProbability
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.noisy_or.inputs import Floats

PROOF = 30.0
"""A repair that doesn't repair it also costs a proving spin and putting back: an estimate, in minutes."""


@dataclass(frozen=True, slots=True)
class RepairCost:
    """The ``minutes`` of a repair; what its ``parts`` are worth and what the fault costs if ``missed``, in minutes."""

    minutes: float
    parts: float
    missed: float

    @property
    def wrong(self) -> float:
        """Minutes lost with a repair that was not needed: its work, its parts, and the proof that shows it."""
        return self.minutes + self.parts + PROOF


def checked(network: Network, costs: Mapping[str, RepairCost]) -> dict[str, RepairCost]:
    """The cost of each fault of the network; what was repaired before costs no work. ValueError names what is wrong."""
    missing = [fault for fault in network.faults if fault not in costs and fault not in network.past]
    if missing:
        raise ValueError(f"costs has nothing for fault {missing[0]!r}")
    known = {fault: costs.get(fault, RepairCost(0.0, 0.0, 0.0)) for fault in network.faults}
    for fault, cost in known.items():
        figures = np.array([cost.minutes, cost.parts, cost.missed])
        if not (np.isfinite(figures) & (figures >= 0.0)).all():
            raise ValueError(f"costs of fault {fault!r} must be minutes of 0 or more")
    return known


def doubt_prices(
    network: Network, costs: Mapping[str, RepairCost], leader: FaultProbability, proved_now: bool
) -> Floats:
    """What a nat of doubt about each fault costs, in minutes: at even odds half of the lesser mistake.

    None about what was repaired before. ``proved_now``: the leader was shown at the part itself, so that the proof
    after its repair shows a second fault on this visit: at most that repair is done twice.
    """
    wrong = np.array([costs[fault].wrong for fault in network.faults])
    missed = np.array([costs[fault].missed for fault in network.faults])
    if leader.firm and proved_now:
        missed = np.minimum(missed, costs[leader.fault].wrong)
    prices: Floats = 0.5 * np.minimum(wrong, missed) / np.log(2.0)
    prices[[network.fault(fault) for fault in network.past]] = 0.0
    return prices
