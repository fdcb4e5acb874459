"""What to check next: what each open check is expected to save, against its minutes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from wizard.diagnosis.bids import Bid, Place, best_first
from wizard.diagnosis.given import Floats
from wizard.diagnosis.model import Network
from wizard.diagnosis.order import search_order
from wizard.diagnosis.ranking import DECIDED, Ranked, ranked
from wizard.diagnosis.suspects import Suspects, suspects
from wizard.diagnosis.tells import relieved
from wizard.diagnosis.weighing import weigh

# A check is worth its minutes from this share of them saved, for a wrong repair costs parts and trust too: an estimate.
WORTH = 0.5
# A repair that doesn't mend it also costs a proving spin and putting back: an estimate, in minutes.
WRONG_REPAIR = 30.0
# A fault that is missed costs a second visit: an estimate, in minutes.
SECOND_VISIT = 120.0
# Most tries that are named where nothing is decided.
MOST_TRIES = 3


@dataclass(frozen=True, slots=True)
class Candidate:
    """A check open to the technician.

    ``says`` is its title. ``minutes`` of one person, ``people`` needed. ``gives`` maps each finding it can
    tell to the probability that it is obtained. ``state`` is the safety state and ``panels`` the panels it needs.
    """

    id: str
    says: str
    minutes: float
    gives: Mapping[str, float]
    state: str = ""
    panels: tuple[str, ...] = ()
    people: int = 1


@dataclass(frozen=True, slots=True)
class Access:
    """What it costs to get at things now, in minutes; what is missing costs nothing.

    ``gates``: to reach a safety state that doesn't hold, restoring included. ``panels``: to open and close a
    panel that isn't open. A gate is part of its check's minutes and can't be left out.
    """

    gates: Mapping[str, float] = field(default_factory=dict)
    panels: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Advice:
    """One check: its minutes all told, the minutes it is expected to save, and why.

    ``rate`` is minutes saved a minute, the way in shared among the checks that it opens. ``about`` is the fault
    it tells most of. ``confirms``: that fault is decided already, so the check only confirms it.
    """

    id: str
    minutes: float
    saves: float
    rate: float
    about: str
    confirms: bool
    why: str

    @property
    def worth(self) -> bool:
        """True if what it saves justifies its minutes."""
        return self.rate >= WORTH


@dataclass(frozen=True, slots=True)
class Counsel:
    """All open checks, best first, and whether enough is known: no open check is worth its minutes.

    ``decided`` are the faults at 0.9 or more once enough is known, likeliest first; before that, none. Where
    nothing is decided by then, ``tries`` are the likeliest repairs in the order that wastes fewest minutes.
    ``owed`` maps each decided fault that no check of its own has confirmed to those of its checks that could;
    no part of it may be fitted before one of them is done.
    """

    checks: tuple[Advice, ...]
    enough: bool
    says: str
    decided: tuple[str, ...]
    tries: tuple[str, ...]
    owed: Mapping[str, tuple[str, ...]]


def advise(
    network: Network,
    evidence: Mapping[str, float],
    candidates: Sequence[Candidate],
    repairs: Mapping[str, float],
    *,
    access: Access | None = None,
    confirm: Mapping[str, tuple[str, ...]] | None = None,
    done: Collection[str] = (),
) -> Counsel:
    """Weigh every open check. The flow's own order stays the default; this is only advice.

    A check saves, over all faults, the doubt it is expected to lift times what doubt about that fault costs:
    at even odds half of a wrong repair or of a second visit, whichever is less; nothing where it is certain.
    ``repairs`` maps each fault to its remedy's minutes; ``confirm`` a fault to the checks (ids) one of which
    must be done before a part is fitted; ``done`` are checks done already.
    Raises ValueError naming the fault, finding or candidate at fault.
    """
    result = weigh(network, evidence)
    table = suspects(network, evidence, result.probabilities)
    places = ranked(network, result)
    minutes = _repairs(network, repairs)
    prices = 0.5 * np.minimum(minutes, SECOND_VISIT) / np.log(2.0)
    ways = access or Access()
    weighed = [_weighed(network, table, candidate, evidence, prices) for candidate in candidates]
    bids = [_bid(one.candidate, one.saves, ways) for one in weighed]
    known = {place.fault: place.probability for place in places}
    checks = [
        _advice(known, network, weighed[place.index], bids[place.index], place) for place in best_first(bids)
    ]
    owed = _owed(places, confirm or {}, done)
    enough = not checks or not checks[0].worth
    decided = tuple(place.fault for place in places if place.decided and enough)
    tries = _tries(network, result.probabilities, minutes) if enough and not decided else ()
    return Counsel(
        tuple(checks), enough, _words(network, places[0], enough, tries, owed), decided, tries, owed
    )


def _repairs(network: Network, repairs: Mapping[str, float]) -> Floats:
    """Minutes of a repair that turns out wrong, for each fault."""
    missing = [fault for fault in network.faults if fault not in repairs]
    if missing:
        raise ValueError(f"repairs has no minutes for fault {missing[0]!r}")
    minutes = np.array([repairs[fault] for fault in network.faults], dtype=float) + WRONG_REPAIR
    if not (np.isfinite(minutes) & (minutes >= WRONG_REPAIR)).all():
        raise ValueError("repairs must be minutes of 0 or more")
    return minutes


def _tries(network: Network, probabilities: Floats, minutes: Floats) -> tuple[str, ...]:
    """The likeliest faults, in the order of repairs that wastes fewest minutes."""
    likely = np.argsort(-probabilities, kind="stable")[:MOST_TRIES]
    shares = probabilities[likely] / max(float(probabilities.sum()), 1.0)
    return tuple(network.faults[likely[i]] for i in search_order(shares, minutes[likely]))


@dataclass(frozen=True, slots=True)
class _Weighed:
    """A check and what it is expected to save, and the fault it tells most of."""

    candidate: Candidate
    saves: float
    about: str


def _weighed(
    network: Network, table: Suspects, candidate: Candidate, evidence: Mapping[str, float], prices: Floats
) -> _Weighed:
    """What the check would save. Findings that have an answer already tell nothing new."""
    if not (candidate.minutes >= 0.0 and candidate.people >= 1):
        raise ValueError(f"candidates: {candidate.id!r} needs minutes of 0 or more and at least one person")
    chances = {network.finding(name): chance for name, chance in candidate.gives.items()}
    if not all(0.0 <= chance <= 1.0 for chance in chances.values()):
        raise ValueError(f"candidates: {candidate.id!r} gives a finding with a chance that isn't from 0 to 1")
    told = network.told(evidence)
    unasked = [j for j in chances if told.get(j, 0.5) == 0.5]
    if not unasked:
        return _Weighed(candidate, 0.0, "")
    # Findings of one check are taken to be obtained together, with their mean chance.
    obtained = sum(chances[j] for j in unasked) / len(unasked)
    lifted = relieved(table, unasked) * obtained
    return _Weighed(candidate, float(lifted @ prices), network.faults[int(np.argmax(lifted))])


def _bid(candidate: Candidate, saves: float, access: Access) -> Bid:
    """The check as a bid, with what of its way in is still to be paid."""
    way = {f"panel {name}": access.panels.get(name, 0.0) for name in candidate.panels}
    way[f"gate {candidate.state}"] = access.gates.get(candidate.state, 0.0)
    paid = {name: minutes for name, minutes in way.items() if minutes > 0.0}
    return Bid(saves, candidate.minutes * candidate.people, paid)


def _advice(places: Mapping[str, float], network: Network, one: _Weighed, bid: Bid, place: Place) -> Advice:
    """The check with its reason."""
    probability = places.get(one.about, 0.0)
    confirms = probability >= DECIDED
    why = _why(network, one, bid, probability, place.shared)
    return Advice(one.candidate.id, bid.minutes, one.saves, place.rate, one.about, confirms, why)


def _why(network: Network, one: _Weighed, bid: Bid, probability: float, shared: int) -> str:
    """One sentence: title, minutes, what is in them, and the fault it tells most of."""
    way = round(sum(bid.way.values()))
    parts = [f"{one.candidate.says}: {max(round(bid.minutes), 1)} min"]
    if one.candidate.people > 1:
        parts.append(f"{one.candidate.people} people")
    if way:
        also = f", shared with {shared} more" if shared else ""
        parts.append(f"{way} of them to get there{also}")
    if not one.about:
        return ", ".join(parts) + ". All it can tell is known."
    name = network.say_fault(one.about)
    if probability >= DECIDED:
        return ", ".join(parts) + f". It only confirms: {name}, {probability:.0%}."
    return ", ".join(parts) + f", and it tells most about: {name}, {probability:.0%}."


def _owed(
    places: Sequence[Ranked], confirm: Mapping[str, tuple[str, ...]], done: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """Decided faults none of whose own checks is done, with those checks."""
    return {
        place.fault: confirm[place.fault]
        for place in places
        if place.decided and confirm.get(place.fault) and not set(confirm[place.fault]) & set(done)
    }


def _words(
    network: Network, leader: Ranked, enough: bool, tries: Sequence[str], owed: Mapping[str, tuple[str, ...]]
) -> str:
    """What to do about checks, in one or two sentences."""
    name = f"{network.say_fault(leader.fault)}, {leader.probability:.0%}"
    if not enough:
        return f"A check is worth its minutes. Likeliest now: {name}."
    if tries:
        names = "; ".join(network.say_fault(fault) for fault in tries)
        return f"No open check is worth its minutes, and nothing is decided. Try in this order: {names}."
    if owed:
        names = "; ".join(network.say_fault(fault) for fault in owed)
        return f"Enough is known: {name}. Before a part is fitted, confirm: {names}."
    return f"Enough is known: {name}."
