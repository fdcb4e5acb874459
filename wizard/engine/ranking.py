"""Which fault, from all that was answered: from a session to the diagnosis. Numpy comes with the first call."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from wizard.engine import derive
from wizard.engine.state import State
from wizard.flow.model import Flow

if TYPE_CHECKING:
    from wizard.diagnosis.model import Network

DECIDED = 0.9
"""The probability at which a fault counts as decided."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """A fault and the probability that it is present, given all answers so far."""

    fault: str
    says: str
    probability: float


@dataclass(frozen=True, slots=True)
class Spoken:
    """A finding that was answered, what it says of a fault (log odds, positive speaks for it), and its evidence e."""

    finding: str
    says: str
    weight: float
    evidence: float


@dataclass(frozen=True, slots=True)
class Open:
    """A finding not answered yet that would move the ranking, and which fault would lead after either answer."""

    finding: str
    says: str
    if_seen: str
    if_ruled_out: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """The findings that speak for and against a fault, the strongest first, in words for people.

    ``single`` is the id of a weak finding without which the fault would no longer lead, or empty. ``doubtful`` are
    findings whose answer was close to a limit. ``would_change``: what would move the ranking most.
    """

    fault: str
    probability: float
    speaks_for: tuple[Spoken, ...]
    against: tuple[Spoken, ...]
    single: str
    doubtful: tuple[str, ...] = ()
    would_change: tuple[Open, ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    """A finding seen that the confirmed faults seldom show, and the likeliest other fault that does.

    ``shown`` is how often they would show it; ``fault`` is empty and ``probability`` 0 where no other shows it.
    """

    finding: str
    says: str
    shown: float
    fault: str
    probability: float


@dataclass(frozen=True, slots=True)
class Second:
    """What some faults leave to ask, once they are confirmed.

    ``left``: findings that stay unexplained, the least explained first. ``likeliest``: the other fault that is
    likeliest then, or None where none can stand beside them. ``against``: faults that the findings rule out.
    """

    left: tuple[Left, ...] = ()
    likeliest: Ranked | None = None
    against: tuple[str, ...] = ()


def ranking(flow: Flow, state: State) -> tuple[Ranked, ...]:
    """All faults that this machine can have, the likeliest first. Empty before its kind is known."""
    network = machine_network(flow, state)
    if network is None:
        return ()
    chances = _chances(network, told(network, flow, state))
    rows = [Ranked(f, flow.faults[f].says, p) for f, p in zip(network.faults, chances, strict=True)]
    return tuple(sorted(rows, key=lambda r: -r.probability))


def told(network: Network, flow: Flow, state: State) -> dict[str, float]:
    """The evidence for the findings that this machine's network has."""
    return {f: e for f, e in derive.evidence(flow, state).items() if f in network.findings}


def explain(flow: Flow, state: State, fault: str) -> Explanation:
    """Why a fault stands where it stands: each finding weighed by leaving it out."""
    network = machine_network(flow, state)
    if network is None or fault not in network.faults:
        return Explanation(fault, 0.0, (), (), "")
    from wizard.diagnosis import explaining

    told_why = explaining.explain(network, told(network, flow, state), fault)
    says = network.say_finding
    return Explanation(
        fault,
        told_why.probability,
        tuple(Spoken(w.finding, says(w.finding), w.weight, w.e) for w in told_why.speaks_for),
        tuple(Spoken(w.finding, says(w.finding), w.weight, w.e) for w in told_why.against),
        next(iter(told_why.rests_on), ""),
        told_why.doubtful,
        tuple(
            Open(x.finding, says(x.finding), network.say_fault(x.if_seen), network.say_fault(x.if_ruled_out))
            for x in told_why.would_change
        ),
    )


RULED_OUT = 1e-5
"""A fault less likely than this is called ruled out. No number of a flow is certain, so none comes to nothing at all:
a finding that a fault always shows leaves, not seen, about a millionth of it."""


def unexplained(flow: Flow, state: State, confirmed: Collection[str]) -> Second:
    """What stays unexplained once these faults are confirmed, and which second fault is likeliest then."""
    network = machine_network(flow, state)
    known = [f for f in confirmed if network and f in network.faults]
    if network is None or not known:
        return Second()
    from wizard.diagnosis import ranking as diagnosed

    evidence = told(network, flow, state)
    against = tuple(f for f in known if diagnosed.together(network, evidence, (f,)) < RULED_OUT)
    if against or diagnosed.together(network, evidence, known) == 0.0:
        return Second(against=against or tuple(known))
    left = tuple(
        Left(x.finding, network.say_finding(x.finding), x.shown, x.fault, x.probability)
        for x in diagnosed.unexplained(network, evidence, known)
    )
    beside = diagnosed.beside(network, evidence, known)
    return Second(
        left,
        Ranked(beside[0].fault, network.say_fault(beside[0].fault), beside[0].probability)
        if beside
        else None,
    )


def _chances(network: Network, evidence: Mapping[str, float]) -> list[float]:
    from wizard.diagnosis.weighing import weigh

    return [float(p) for p in weigh(network, evidence).probabilities]


def machine_network(flow: Flow, state: State) -> Network | None:
    """The network of this machine, or None while its kind is unknown or none of the flow's faults fit it."""
    facts = tuple(sorted(state.facts.items()))
    return _cached(_Held(flow), state.facts.get(flow.kind, ""), facts)


class _Held:
    """A flow that is equal by its digest, so that a network is built once for it."""

    def __init__(self, flow: Flow) -> None:
        self.flow = flow

    def __hash__(self) -> int:
        return hash(self.flow.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Held) and other.flow.digest == self.flow.digest


@lru_cache(maxsize=8)
def _cached(held: _Held, kind: str, facts: tuple[tuple[str, str], ...]) -> Network | None:
    from wizard.diagnosis.network import build

    flow = held.flow
    if not any(f.share.get(kind, 0.0) > 0.0 and not f.alone for f in flow.faults.values()):
        return None
    return build(flow, dict(facts))
