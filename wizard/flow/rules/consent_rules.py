"""Consent and price: no part without the customer's word, and ages and prices that there are."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model.consent import needs_consent
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex
from wizard.safety import Needs


def priced(index: FlowIndex) -> Iterator[Problem]:
    """Where a flow asks for consent, each remedy with parts needs it; where it talks prices over, each says its own."""
    flow = index.flow
    for location in index.tables("faults.toml", "fault"):
        fault = flow.faults.get(location.table["id"])
        if fault is None or not fault.remedy.parts:
            continue
        if flow.consent and not needs_consent(flow, fault):
            message = f"it has parts, so the customer is asked first: it needs {_words(flow.consent)}"
            yield index.error(location.within("remedy"), ("needs",), message, "consent")
        if flow.talk_over and fault.remedy.price is None:
            message = "it has parts: say its price, low, middle or high"
            yield index.error(location.within("remedy"), (), message, "consent")


def ages(index: FlowIndex) -> Iterator[Problem]:
    """The age is a fact with values, and each price is talked over from one of them on."""
    flow, head = index.flow, index.head()
    if not flow.talk_over:
        return
    fact = flow.fact(flow.age)
    if fact is None or not fact.values:
        message = "name in age the fact that says how old the machine is, one with values"
        yield index.error(head, ("talk_over",), message, "consent")
        return
    known = [value.id for value in fact.values]
    for price, value in flow.talk_over.items():
        if value not in known:
            message = f'fact "{fact.id}" has no value "{value}".{nearest(value, known)}'
            yield index.error(head, ("talk_over", str(price)), message, "reference")


def worth(index: FlowIndex) -> Iterator[Problem]:
    """What is said of a repair's worth at an age is of an age that the flow's fact of it has."""
    fact = index.flow.fact(index.flow.age)
    known = [value.id for value in fact.values] if fact is not None else []
    for location in index.tables("faults.toml", "fault"):
        for age in location.table.get("remedy", {}).get("worth_at", {}):
            if age not in known:
                asked = f'fact "{fact.id}" has no value "{age}"' if fact else "age in flow.toml names no fact"
                yield index.error(
                    location,
                    ("remedy", "worth_at", age),
                    f"{asked}.{nearest(age, known)}",
                    "reference",
                    key=True,
                )


def _words(needs: Needs) -> str:
    return ", ".join(f"{condition} = {' or '.join(sorted(values))}" for condition, values in needs.items())


RULES = (priced, ages, worth)
