"""What the customer is asked before a part goes in or is ordered, by its price and the age of the machine."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.flow.model.facts import FactValue
from wizard.flow.model.fault_model import Fault
from wizard.flow.model.whole import Flow


def talked_over(flow: Flow, fault: Fault, facts: Mapping[str, str]) -> FactValue | None:
    """The age of the machine at which a repair of this price is talked over first; None where it needn't be.

    Ages rise as the flow lists them, so that one that is not known, the last of them, counts as the oldest.
    """
    price, age = fault.remedy.price, flow.fact(flow.age)
    if price is None or age is None or price not in flow.talk_over:
        return None
    order = [value.id for value in age.values]
    now, since = facts.get(age.id, ""), flow.talk_over[price]
    if now not in order or since not in order or order.index(now) < order.index(since):
        return None
    return age.value(now)


def needs_consent(flow: Flow, fault: Fault) -> bool:
    """Whether the customer is asked before this is repaired or its parts are ordered."""
    return bool(flow.consent) and all(fault.remedy.needs.get(c) == v for c, v in flow.consent.items())


def worth_words(flow: Flow, fault: Fault, facts: Mapping[str, str]) -> str:
    """Whether a repair is usually worthwhile on a machine of this age; empty where the flow says nothing of it."""
    return fault.remedy.worth_at.get(facts.get(flow.age, ""), fault.remedy.worth)
