"""Advice in words: a sentence a check, and a sentence or two for where things stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wizard.diagnosis.fault_ranking import DECIDED, FaultProbability
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.next_inspection.candidates import Stake
from wizard.diagnosis.next_inspection.cost_ranking import CostedInspection
from wizard.diagnosis.next_inspection.value_of_information import InspectionValue
from wizard.domain.probability import percent


def why(
    network: Network, one: InspectionValue, bid: CostedInspection, probability: float, shared: int
) -> str:
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
        return ", ".join(parts) + f". It only confirms: {name}, {percent(probability)}."
    return ", ".join(parts) + f", and it tells most about: {name}, {percent(probability)}."


def along_words(network: Network, faults: Sequence[str]) -> str:
    """What is worth doing along, as a sentence behind another; empty where nothing is."""
    names = "; ".join(network.say_fault(fault) for fault in faults)
    return f" It takes no part, and is worth doing along: {names}." if names else ""


def found_words(network: Network, faults: Sequence[str]) -> str:
    """What was found on its own part besides, as a sentence behind another; empty where nothing was."""
    names = "; ".join(network.say_fault(fault) for fault in faults)
    return f" Found on its own part, and worth repairing along: {names}." if names else ""


def stake_words(stake: Stake, title: str) -> str:
    """What being wrong would cost and what one more check, of this title, would save; the minutes are estimates."""
    lost, parts = _about(stake.lost), _about(stake.cost.parts)
    if stake.alone:
        first = f"If something is wrong after all: a second visit, about {lost} min."
    elif parts:
        first = f"If it is not that: about {lost} min for nothing, {parts} of them the worth of its parts."
    else:
        first = f"If it is not that: about {lost} min for nothing."
    check = stake.inspection
    if check is None:
        return first + " No check is left."
    saves = round(check.saves)
    worth = f"would save {saves} min" if saves else "would save less than a minute"
    return f"{first} The best check left, {title}, takes {max(round(check.minutes), 1)} min and {worth}."


def _about(minutes: float) -> int:
    """Minutes rounded to five: they are estimates."""
    return 5 * round(minutes / 5)


def standing(
    network: Network,
    leader: FaultProbability,
    enough: bool,
    tries: Sequence[str],
    owed: Mapping[str, tuple[str, ...]],
    looked: bool = True,
    decided: bool = False,
) -> str:
    """What to do about checks, in one or two sentences; that nothing was ``looked`` at, where so.

    ``decided``: a fault is, though maybe not by its probability alone.
    """
    name = f"{network.say_fault(leader.fault)}, {percent(leader.probability)}"
    if not enough:
        return f"A check is worth its minutes. Likeliest now: {name}."
    if tries:
        names = "; ".join(network.say_fault(fault) for fault in tries)
        return f"No open check is worth its minutes, and nothing is decided. Confirm and repair in this order: {names}."
    if not leader.firm and not decided:
        left = "no check left is worth its minutes"
        if not looked:
            return f"Nothing was looked at yet, and {left}. Likeliest is: {name}."
        return f"N{left[1:]}, and nothing is decided: likeliest is {name}."
    if owed:
        names = "; ".join(network.say_fault(fault) for fault in owed)
        return f"Enough is known: {name}. Before a part is fitted, confirm: {names}."
    return f"Enough is known: {name}."
