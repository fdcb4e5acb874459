"""What to inspect next: what each open inspection is expected to save, against its minutes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from wizard.diagnosis.fault_ranking import DECIDED, FaultProbability, ranked
from wizard.diagnosis.fault_sets import fault_sets
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.next_inspection.advice_text import along_words, found_words, standing, why
from wizard.diagnosis.next_inspection.candidates import (
    FOUND,
    LOOK_ON,
    WORTH,
    Access,
    Advice,
    Counsel,
    InspectionCandidate,
    Stake,
)
from wizard.diagnosis.next_inspection.cost_ranking import CostedInspection, RankedInspection, best_first
from wizard.diagnosis.next_inspection.mistake_costs import RepairCost, checked, doubt_prices
from wizard.diagnosis.next_inspection.search_sequence import search_order
from wizard.diagnosis.next_inspection.value_of_information import InspectionValue, inspection_value

# What is less likely than this is not tried.
UNLIKELY = 0.05
# Most tries that are named where nothing is decided.
MOST_TRIES = 3


def advise(
    network: Network,
    evidence: Mapping[str, float],
    candidates: Sequence[InspectionCandidate],
    costs: Mapping[str, RepairCost],
    *,
    access: Access | None = None,
    confirm: Mapping[str, tuple[str, ...]] | None = None,
    done: Collection[str] = (),
    seen: Collection[str] = (),
    partless: Collection[str] = (),
    found: Collection[str] = (),
    looked: bool = True,
) -> Counsel:
    """Weigh every open inspection. The flow's own order stays the default; this is only advice.

    An inspection saves, over all faults, the doubt it is expected to lift times what doubt about that fault costs:
    at even odds half of a wrong repair or of a second visit, whichever is less; nothing where it is certain.
    Doubt about what was repaired before costs nothing.
    ``costs`` says of each fault what a mistake about it costs; ``confirm`` a fault to the inspections (ids) one of
    which must be done before a part is fitted; ``done`` are inspections done already. ``seen`` are faults that a step
    of their own has shown at the part itself: where one of them leads so far that it is decided, a second fault costs
    no second visit, since the proof after the repair shows it on this one; at most that repair is done twice. ``found``
    are faults that their own inspections found on the part: decided from less, and worth repairing along. ``partless``
    are faults whose repair takes no part: minutes are all that it can cost. ``looked``: something of the search was
    looked at; else, or where an outcome alone leads, no repair is named to be tried. Raises ValueError naming the
    fault, finding or candidate at fault.
    """
    result = weigh(network, evidence)
    table = fault_sets(network, evidence, result.probabilities)
    places = ranked(network, result)
    known = checked(network, costs)
    prices = doubt_prices(network, known, places[0], places[0].fault in seen)
    worths = [inspection_value(network, table, candidate, evidence, prices) for candidate in candidates]
    alone = places[0].fault in network.alone
    least = LOOK_ON if alone and not places[0].firm else WORTH
    inspections = _ordered(network, places, worths, access or Access(), least)
    owed = _owed(places, confirm or {}, done)
    enough = not inspections or not inspections[0].worth
    decided = tuple(place.fault for place in places if _decided(place, found) and enough)
    tries = _tries(network, places, known) if enough and looked and not decided and not alone else ()
    along = () if alone else _along(places, decided or tries[:1], partless, known)
    beside = () if alone else _found_along(places, (*(decided or tries[:1]), *along), found, known)
    first = next((place for place in places if place.fault in decided), places[0])
    says = standing(network, first, enough, tries, owed, looked, bool(decided))
    says += along_words(network, along) + found_words(network, beside) if enough else ""
    stake = (
        Stake(first, known[first.fault], alone, inspections[0] if inspections else None) if decided else None
    )
    return Counsel(inspections, enough, says, decided, tries, owed, along, beside, stake)


def _ordered(
    network: Network,
    places: Sequence[FaultProbability],
    worths: Sequence[InspectionValue],
    access: Access,
    least: float,
) -> tuple[Advice, ...]:
    """The inspections, those that save most for their minutes first."""
    bids = [_bid(one.candidate, one.saves, access) for one in worths]
    known = {place.fault: place.probability for place in places}
    order = best_first(bids)
    found = (_advice(known, network, worths[place.index], bids[place.index], place) for place in order)
    return tuple(replace(one, least=least) for one in found)


def _along(
    places: Sequence[FaultProbability],
    chosen: Collection[str],
    partless: Collection[str],
    costs: Mapping[str, RepairCost],
) -> tuple[str, ...]:
    """The faults besides those chosen whose repair takes no part, and is cheaper for nothing than left undone."""
    return tuple(
        place.fault
        for place in places
        if place.fault in partless
        and place.fault not in chosen
        and place.probability * costs[place.fault].missed
        > (1.0 - place.probability) * costs[place.fault].minutes
    )


def _decided(place: FaultProbability, found: Collection[str]) -> bool:
    """True far ahead; of a fault that was found on its own part from less."""
    return place.firm or (place.fault in found and place.probability - place.error_bound >= FOUND)


def _found_along(
    places: Sequence[FaultProbability],
    chosen: Collection[str],
    found: Collection[str],
    costs: Mapping[str, RepairCost],
) -> tuple[str, ...]:
    """Faults found on their own part, besides those chosen, that cost less repaired for nothing than left behind.

    The proof is made anyway, so that a needless repair along costs its work and its parts.
    """
    return tuple(
        place.fault
        for place in places
        if place.fault in found
        and place.fault not in chosen
        and place.probability * costs[place.fault].missed
        > (1.0 - place.probability) * (costs[place.fault].minutes + costs[place.fault].parts)
    )


def _tries(
    network: Network, places: Sequence[FaultProbability], costs: Mapping[str, RepairCost]
) -> tuple[str, ...]:
    """The likeliest faults (no outcome alone, none that is unlikely), in the order of repairs that wastes fewest
    minutes.
    """
    likely = [p for p in places if p.fault not in network.alone and p.probability >= UNLIKELY][:MOST_TRIES]
    if not likely:
        return ()
    total = max(sum(place.probability for place in places), 1.0)
    wrong = [costs[place.fault].wrong for place in likely]
    order = search_order([place.probability / total for place in likely], wrong)
    return tuple(likely[i].fault for i in order)


def _bid(candidate: InspectionCandidate, saves: float, access: Access) -> CostedInspection:
    """The inspection as a bid, with what of its way in is still to be paid."""
    way = {f"panel {name}": access.panels.get(name, 0.0) for name in candidate.panels}
    way[f"asked first {candidate.way}"] = access.ways.get(candidate.way, 0.0)
    paid = {name: minutes for name, minutes in way.items() if minutes > 0.0}
    return CostedInspection(saves, candidate.minutes * candidate.people, paid)


def _advice(
    places: Mapping[str, float],
    network: Network,
    one: InspectionValue,
    bid: CostedInspection,
    place: RankedInspection,
) -> Advice:
    """The inspection with its reason."""
    probability = places.get(one.about, 0.0)
    confirms = probability >= DECIDED
    reason = why(network, one, bid, probability, place.shared)
    return Advice(one.candidate.id, bid.minutes, one.saves, place.rate, one.about, confirms, reason)


def _owed(
    places: Sequence[FaultProbability], confirm: Mapping[str, tuple[str, ...]], done: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """Decided faults none of whose own inspections is done, with those inspections."""
    return {
        place.fault: confirm[place.fault]
        for place in places
        if place.decided and confirm.get(place.fault) and not set(confirm[place.fault]) & set(done)
    }
