"""The faults in order of probability, pairs of them, and what the confirmed ones leave unexplained."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh, weigh_with
from wizard.diagnosis.noisy_or.inference import Posterior

# From here a fault leads so far that a check of it only confirms, and a part wants its confirmation.
DECIDED = 0.9
# From here it is said to be decided, once enough is known: what is calibrated is right 98 times in 100 from 0.93 on.
FIRM = 0.93
# A finding is explained by faults that show it at least this often between them.
EXPLAINS = 0.2
# A finding counts as seen from here.
SEEN = 0.5


@dataclass(frozen=True, slots=True)
class FaultProbability:
    """One fault's place: its id, its probability, how far off that may be (0 when exact), and if it is decided."""

    fault: str
    probability: float
    error_bound: float = 0.0

    @property
    def decided(self) -> bool:
        """True from 0.9, whatever the error."""
        return self.probability - self.error_bound >= DECIDED

    @property
    def firm(self) -> bool:
        """True from 0.93, whatever the error."""
        return self.probability - self.error_bound >= FIRM


@dataclass(frozen=True, slots=True)
class UnexplainedFinding:
    """A finding seen that the confirmed faults seldom show.

    ``shown`` is how often they would. ``fault`` is the likeliest other fault that shows it, given those
    confirmed, with its probability; empty and 0 if none does.
    """

    finding: str
    shown: float
    fault: str
    probability: float


def ranked(network: Network, result: Posterior) -> tuple[FaultProbability, ...]:
    """All faults but the past ones by their posterior, likeliest first; equal ones by id."""
    places = [
        FaultProbability(fault, float(p), result.error_bound)
        for fault, p in zip(network.faults, result.probabilities, strict=True)
        if fault not in network.past
    ]
    return tuple(sorted(places, key=lambda place: (-place.probability, place.fault)))


def together(network: Network, evidence: Mapping[str, float], faults: Collection[str]) -> float:
    """P(all of these faults present | evidence, a complaint): 0 where one of them stands alone and others are named.

    Raises ValueError as `weigh`, or naming a fault that the network hasn't got.
    """
    places = sorted({network.fault(fault) for fault in faults})
    if len(places) > 1 and any(network.faults[i] in network.alone for i in places):
        return 0.0
    whole = weigh(network, evidence)
    if len(places) == 1:
        return float(whole.probabilities[places[0]])
    priors = network.priors.copy()
    if not places or (priors[places] == 0.0).any():
        return 0.0 if places else 1.0
    log_priors = float(np.log(priors[places]).sum())
    priors[places] = 1.0
    try:
        part = weigh_with(network, priors, evidence)
    except ValueError:
        # The evidence is possible, so it is these faults that it rules out.
        return 0.0
    return min(1.0, math.exp(part.log_evidence + log_priors - whole.log_evidence))


def unexplained(
    network: Network, evidence: Mapping[str, float], confirmed: Collection[str]
) -> tuple[UnexplainedFinding, ...]:
    """Findings seen (e above 0.5) that the confirmed faults would show less than one time in five, and some other fault
    more often than they.

    What was repaired before explains what it showed then, where it was likelier there than not.
    The least explained first. Raises ValueError as `weigh`, or naming a fault that the network hasn't got.
    """
    past = [network.fault(fault) for fault in network.past]
    if past:
        chances = weigh(network, evidence).probabilities
        past = [place for place in past if chances[place] >= SEEN]
    places = [*map(network.fault, confirmed), *past]
    hidden = np.prod(1.0 - network.weights[places], axis=0)
    observed, most = network.by_place(evidence), network.weights.max(axis=0, initial=0.0)
    open_ = sorted(
        (
            j
            for j, e in observed.items()
            if e > SEEN and 1.0 - hidden[j] < min(EXPLAINS, float(most[j]) or EXPLAINS) - 1e-9
        ),
        key=lambda j: -hidden[j],
    )
    if not open_:
        return ()
    priors = network.priors.copy()
    priors[places] = 1.0
    rest = weigh_with(network, priors, evidence).probabilities.copy()
    rest[[*places, *map(network.fault, network.past)]] = 0.0
    return tuple(_unexplained(network, j, float(1.0 - hidden[j]), rest) for j in open_)


def beside(
    network: Network, evidence: Mapping[str, float], confirmed: Collection[str]
) -> tuple[FaultProbability, ...]:
    """All other faults, likeliest first, given that these are present; none beside an outcome that stands alone.

    Raises ValueError as `weigh`, naming a fault that the network hasn't got, or where the evidence rules one out.
    """
    places = {network.fault(fault) for fault in confirmed}
    if any(network.faults[i] in network.alone for i in places):
        return ()
    priors = network.priors.copy()
    priors[list(places)] = 1.0
    result = weigh_with(network, priors, evidence)
    return tuple(
        place
        for place in ranked(network, result)
        if network.fault(place.fault) not in places and place.fault not in network.alone
    )


def _unexplained(network: Network, finding: int, shown: float, rest: np.ndarray) -> UnexplainedFinding:
    """The finding, with the likeliest of the other faults that show it."""
    showing = np.where(network.weights[:, finding] >= EXPLAINS, rest, 0.0)
    best = int(np.argmax(showing))
    if showing[best] == 0.0:
        return UnexplainedFinding(network.findings[finding], shown, "", 0.0)
    return UnexplainedFinding(network.findings[finding], shown, network.faults[best], float(showing[best]))
