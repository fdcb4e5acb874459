"""Which fault, from all that was answered: from a session to the diagnosis. Numpy comes with the first call."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from wizard.domain.vocabulary import FaultSeverity
from wizard.engine.guidance.evidence_columns import evidence_columns, looked_columns, repairs_made
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow

if TYPE_CHECKING:
    from wizard.diagnosis.network_model import Network

SPEAKS = 0.5
"""Evidence above it speaks for a finding."""
DECIDED = 0.9
"""The probability at which a fault counts as decided."""


@dataclass(frozen=True, slots=True)
class RankedFault:
    """A fault and the probability that it is present, given all answers so far."""

    fault: str
    says: str
    probability: float


@dataclass(frozen=True, slots=True)
class EvidenceItem:
    """A finding that was answered, what it says of a fault (log odds, positive speaks for it), and its evidence e."""

    finding: str
    says: str
    weight: float
    evidence: float


@dataclass(frozen=True, slots=True)
class OpenFinding:
    """A finding not answered yet that would move the ranking, and which fault would lead after either answer."""

    finding: str
    says: str
    if_seen: str
    if_ruled_out: str


@dataclass(frozen=True, slots=True)
class FaultExplanation:
    """The findings that speak for and against a fault, the strongest first, in words for people.

    ``single`` is the id of a weak finding without which the fault would no longer lead, or empty. ``doubtful`` are
    findings that are not certain: a reading close to a limit, or, of those ``looked`` at alone, what was only probably
    seen. ``would_change``: what would move the ranking most. ``severity``: how bad it likely is, where what was read
    says so.
    """

    fault: str
    probability: float
    speaks_for: tuple[EvidenceItem, ...]
    against: tuple[EvidenceItem, ...]
    single: str
    doubtful: tuple[str, ...] = ()
    would_change: tuple[OpenFinding, ...] = ()
    looked: frozenset[str] = frozenset()
    severity: FaultSeverity | None = None


@dataclass(frozen=True, slots=True)
class Unexplained:
    """A finding seen that the confirmed faults seldom show, and the likeliest other fault that does.

    ``shown`` is how often they would show it; ``fault`` is empty and ``probability`` 0 where no other shows it.
    """

    finding: str
    says: str
    shown: float
    fault: str
    probability: float


@dataclass(frozen=True, slots=True)
class Residual:
    """What some faults leave to ask, once they are confirmed.

    ``left``: findings that stay unexplained, the least explained first. ``likeliest``: the other fault that is
    likeliest then, or None where none can stand beside them. ``against``: faults that the findings rule out.
    """

    left: tuple[Unexplained, ...] = ()
    likeliest: RankedFault | None = None
    against: tuple[str, ...] = ()


def ranking(view: JobView) -> tuple[RankedFault, ...]:
    """All faults that this machine can have now, the likeliest first. Empty before its kind is known.

    What was repaired is one of them as far as it may be there in spite of its repair.
    """
    network = machine_network(view)
    if network is None:
        return ()
    chances = zip(network.faults, _chances(network, network_evidence(network, view)), strict=True)
    rows = [RankedFault(f, network.say_fault(f), p) for f, p in chances if f not in network.past]
    return tuple(sorted(rows, key=lambda r: -r.probability))


def network_evidence(network: Network, view: JobView) -> dict[str, float]:
    """The evidence for the findings that this machine's network has."""
    base = base_network(view)
    found = evidence_columns(base, view) if base is not None else {}
    return {place: e for place, e in found.items() if place in network.findings}


def explain(view: JobView, fault: str) -> FaultExplanation:
    """Why a fault stands where it stands: each finding weighed by leaving it out."""
    network = machine_network(view)
    if network is None or fault not in network.faults:
        return FaultExplanation(fault, 0.0, (), (), "")
    from wizard.diagnosis import explanation

    told_why = explanation.explain(network, network_evidence(network, view), fault)
    says, base = network.say_finding, base_network(view)
    return FaultExplanation(
        fault,
        told_why.probability,
        tuple(EvidenceItem(w.finding, says(w.finding), w.weight, w.e) for w in told_why.speaks_for),
        tuple(EvidenceItem(w.finding, says(w.finding), w.weight, w.e) for w in told_why.against),
        next(iter(told_why.rests_on), ""),
        told_why.doubtful,
        tuple(
            OpenFinding(
                x.finding, says(x.finding), network.say_fault(x.if_seen), network.say_fault(x.if_ruled_out)
            )
            for x in told_why.would_change
        ),
        looked_columns(base, view) if base is not None else frozenset(),
        likely_severity(network, network_evidence(network, view), fault),
    )


LIKELY = 0.7
"""From here a severity is said, of a fault that is likelier there than not."""


def likely_severity(network: Network, evidence: Mapping[str, float], fault: str) -> FaultSeverity | None:
    """How bad a fault is where a reading, a count or a graded word of one of its own findings says so; else None."""
    from wizard.diagnosis.network_posterior import weigh
    from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence

    place = network.fault(fault)
    graded = [f for f, e in evidence.items() if isinstance(e, GradedEvidence) and e > SPEAKS]
    if not any(network.weights[place, network.finding(f)] > 0.0 for f in graded):
        return None
    chances = weigh(network, evidence).severities[place]
    whole, most = float(chances.sum()), int(chances.argmax())
    sure = len(chances) == len(FaultSeverity) and whole > SPEAKS and float(chances[most]) >= LIKELY * whole
    return tuple(FaultSeverity)[most] if sure else None


RULED_OUT = 1e-5
"""A fault less likely than this is called ruled out. No number of a flow is certain, so none comes to nothing at all:
a finding that a fault always shows leaves, not seen, about a millionth of it."""


def unexplained(view: JobView, confirmed: Collection[str]) -> Residual:
    """What stays unexplained once these faults are confirmed, and which second fault is likeliest then."""
    network = machine_network(view)
    known = [f for f in confirmed if network and f in network.faults]
    if network is None or not known:
        return Residual()
    from wizard.diagnosis import fault_ranking as diagnosed

    evidence = network_evidence(network, view)
    against = tuple(f for f in known if diagnosed.together(network, evidence, (f,)) < RULED_OUT)
    if against or diagnosed.together(network, evidence, known) == 0.0:
        return Residual(against=against or tuple(known))
    left = tuple(
        Unexplained(x.finding, network.say_finding(x.finding), x.shown, x.fault, x.probability)
        for x in diagnosed.unexplained(network, evidence, known)
    )
    beside = diagnosed.beside(network, evidence, known)
    return Residual(
        left,
        RankedFault(beside[0].fault, network.say_fault(beside[0].fault), beside[0].probability)
        if beside
        else None,
    )


def _chances(network: Network, evidence: Mapping[str, float]) -> list[float]:
    from wizard.diagnosis.network_posterior import weigh

    return [float(p) for p in weigh(network, evidence).probabilities]


def machine_network(view: JobView) -> Network | None:
    """The network of this machine as it is now: after its repairs what is asked again speaks of what is left.

    None while its kind is unknown or none of the flow's faults fit it.
    """
    base = base_network(view)
    if base is None or not (made := [r.fault for r in repairs_made(view) if r.fault in base.faults]):
        return base
    return _repaired(base, tuple(made), tuple(evidence_columns(base, view)))


def base_network(view: JobView) -> Network | None:
    """The network of this machine as it came, or None."""
    facts = tuple(sorted(view.state.facts.items()))
    return _cached(_FlowKey(view.flow), view.state.facts.get(view.flow.kind, ""), facts)


class _FlowKey:
    """A flow that is equal by its digest, so that a network is built once for it."""

    def __init__(self, flow: Flow) -> None:
        self.flow = flow

    def __hash__(self) -> int:
        return hash(self.flow.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _FlowKey) and other.flow.digest == self.flow.digest


@lru_cache(maxsize=8)
def _repaired(base: Network, made: tuple[str, ...], answered: tuple[str, ...]) -> Network:
    from wizard.diagnosis.repaired_network import with_repairs

    return with_repairs(base, made, answered)


@lru_cache(maxsize=8)
def _cached(held: _FlowKey, kind: str, facts: tuple[tuple[str, str], ...]) -> Network | None:
    from wizard.diagnosis.network_builder import build

    flow = held.flow
    if not any(f.share.get(kind, 0.0) > 0.0 and not f.alone for f in flow.faults.values()):
        return None
    return build(flow, dict(facts))
