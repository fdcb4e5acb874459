"""Why a fault stands where it does: what speaks for it and against it, what it rests on, what would change it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.answer_left_out import each_left_out
from wizard.diagnosis.fault_ranking import DECIDED
from wizard.diagnosis.fault_sets import FaultSets, fault_sets
from wizard.diagnosis.information_gain import answers
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.noisy_or.inputs import Floats

# A finding is weak when its answer is less than this many times as likely with the fault as without any.
STRONG = 10.0
# An answer is doubtful (a reading close to its limit) when it is this far from certain, or farther.
DOUBTFUL = 0.05
# Log-odds are held within this, as beyond it only rounding speaks.
MOST_LOG_ODDS = 30.0
# An answer that moves the log-odds by less says nothing of a fault: that is rounding.
LEAST_WEIGHT = 1e-9
# Findings that would change the ranking, named at most.
MOST_CHANGES = 3


@dataclass(frozen=True, slots=True)
class Weight:
    """A finding with an answer: ``e`` as answered, and ``weight``, by how much it moved the fault's log-odds (nats).

    Above 0 it speaks for the fault. It is what would be lost if this answer alone were left out.
    """

    finding: str
    e: float
    weight: float


@dataclass(frozen=True, slots=True)
class RankingChange:
    """A finding not yet answered: how far the ranking is expected to move, and the leader after either answer.

    ``shift`` is the expected sum of all the faults' changes of probability, halved.
    """

    finding: str
    shift: float
    if_seen: str
    if_ruled_out: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """One fault explained.

    ``speaks_for`` and ``against`` hold the findings answered, heaviest first. ``rests_on`` are weak findings
    without any one of which the fault would no longer lead, or no longer be decided. ``doubtful`` are its
    findings whose answer was close to a limit. ``would_change`` are the unanswered findings that matter most.
    ``error_bound`` is the largest error of the probability, 0 when it is exact. The weights are exact for up to eight
    answers, and beyond come of the likeliest sets of faults (`each_left_out`).
    """

    fault: str
    probability: float
    speaks_for: tuple[Weight, ...]
    against: tuple[Weight, ...]
    rests_on: tuple[str, ...]
    doubtful: tuple[str, ...]
    would_change: tuple[RankingChange, ...]
    error_bound: float = 0.0


def explain(network: Network, evidence: Mapping[str, float], fault: str) -> Explanation:
    """Explain one fault by leaving each answer out in turn and weighing the rest.

    Raises ValueError naming the fault or finding that the network hasn't got, or that is impossible.
    """
    place = network.fault(fault)
    all_told = weigh(network, evidence)
    whole, without = all_told.probabilities, each_left_out(network, evidence)
    weights = _weights(evidence, whole, without, place)
    return Explanation(
        fault,
        float(whole[place]),
        tuple(each for each in weights if each.weight > LEAST_WEIGHT),
        tuple(each for each in weights if each.weight < -LEAST_WEIGHT),
        tuple(
            each.finding for each in weights if _carries(network, place, each, whole, without[each.finding])
        ),
        tuple(
            each.finding
            for each in weights
            if abs(each.weight) > LEAST_WEIGHT and DOUBTFUL < each.e < 1 - DOUBTFUL
        ),
        would_change(network, evidence, whole),
        all_told.error_bound,
    )


def heaviest_against(
    network: Network, evidence: Mapping[str, float], faults: Collection[str]
) -> dict[str, Weight]:
    """The answer that speaks most against each of these faults, weighed as ``explain`` does; not those that none does.

    All of them cost no more than one: each answer is left out once. ValueError as for ``explain``.
    """
    whole = weigh(network, evidence).probabilities
    without = each_left_out(network, evidence)
    heaviest = {
        f: min(_weights(evidence, whole, without, network.fault(f)), key=_weight_of, default=None)
        for f in faults
    }
    return {f: w for f, w in heaviest.items() if w is not None and w.weight < -LEAST_WEIGHT}


def _weight_of(each: Weight) -> float:
    return each.weight


def _weights(
    evidence: Mapping[str, float], whole: Floats, without: Mapping[str, Floats], place: int
) -> list[Weight]:
    """How far each answer moved one fault, the one that moved it most first."""
    weights = [
        Weight(name, evidence[name], log_odds(float(whole[place])) - log_odds(float(others[place])))
        for name, others in without.items()
    ]
    return sorted(weights, key=lambda each: -abs(each.weight))


def would_change(
    network: Network, evidence: Mapping[str, float], probabilities: Floats
) -> tuple[RankingChange, ...]:
    """The unanswered findings that are expected to move the ranking most, the first of them most."""
    table = fault_sets(network, evidence, probabilities)
    observed = {name for name, e in evidence.items() if e != 0.5}
    changes = [_change(network, table, name) for name in network.findings if name not in observed]
    changes.sort(key=lambda change: (-change.shift, change.finding))
    return tuple(changes[:MOST_CHANGES])


def log_odds(probability: float) -> float:
    """log(p / (1 - p)) in nats, held within 30 either way."""
    if probability <= 0.0 or probability >= 1.0:
        return math.copysign(MOST_LOG_ODDS, probability - 0.5)
    odds = math.log(probability) - math.log1p(-probability)
    return max(-MOST_LOG_ODDS, min(MOST_LOG_ODDS, odds))


def _carries(network: Network, fault: int, weight: Weight, whole: Floats, without: Floats) -> bool:
    """True if the fault's lead, or its being decided, hangs on this finding and the finding is weak."""
    if weight.weight <= 0.0 or ratio(network, fault, weight) >= STRONG:
        return False
    led, leads = (_leader(network, probabilities) == fault for probabilities in (whole, without))
    return (led and not leads) or bool(whole[fault] >= DECIDED > without[fault])


def _leader(network: Network, probabilities: Floats) -> int:
    """The place of the likeliest fault that wasn't repaired since."""
    there = probabilities.copy()
    there[[network.fault(fault) for fault in network.past]] = 0.0
    return int(np.argmax(there))


def ratio(network: Network, fault: int, weight: Weight) -> float:
    """How many times as likely the answer is with this fault alone as with no fault."""
    finding = network.finding(weight.finding)
    quiet = 1.0 - float(network.leaks[finding])
    hidden = quiet * (1.0 - float(network.weights[fault, finding]))
    without = weight.e * (1.0 - quiet) + (1.0 - weight.e) * quiet
    return (weight.e * (1.0 - hidden) + (1.0 - weight.e) * hidden) / without if without else math.inf


def _change(network: Network, table: FaultSets, finding: str) -> RankingChange:
    """What an answer to this finding would do."""
    outcome = answers(table, (network.finding(finding),))
    moved = np.abs(outcome.marginals - table.marginals()[:, None]).sum(axis=0) / 2.0
    seen, ruled_out = (network.faults[_leader(network, after)] for after in outcome.marginals.T)
    return RankingChange(finding, float(moved @ outcome.chance), seen, ruled_out)
