"""The machines that a flow tells apart, as far as that matters for what is asked of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.flow.model import Flow
from wizard.flow.rules.machine_fact_rules import machines, say
from wizard.flowcheck.model.witness_steps import WitnessFact

__all__ = ["deciding", "fact_values", "machines", "say", "tell", "within"]

Facts = Mapping[str, str]


def deciding(flow: Flow) -> tuple[str, ...]:
    """The facts that decide which conditions a machine has, which steps may be asked on their own, and which facts
    are asked at all.
    """
    procedures = [flow.inspections[i] for i in flow.procedures if i in flow.inspections]
    named = {f for c in flow.conditions.values() for f in c.applies} | {
        f for i in procedures for f in i.applies
    }
    for fact in reversed(flow.facts):
        if fact.id in named:
            named |= set(fact.applies)
    return tuple(f.id for f in flow.facts if f.id in named)


def fact_values(flow: Flow) -> dict[str, tuple[str, ...]]:
    """Each deciding fact with its values; an empty one where a machine may not be asked it. A value that stops work
    is left out.
    """
    found = {}
    for name in deciding(flow):
        fact = flow.fact(name)
        if fact is not None:
            always = fact.required and not fact.applies
            found[name] = (*(v.id for v in fact.values if not v.stop), *(() if always else ("",)))
    return found


def within(flow: Flow, allowed: Mapping[str, frozenset[str]]) -> Iterator[dict[str, str]]:
    """Yield the machines whose deciding facts are all among these values."""
    for machine in machines(flow, allowed):
        if all(machine.get(fact, "") in values for fact, values in allowed.items()):
            yield machine


def tell(facts: Facts) -> tuple[WitnessFact, ...]:
    """The steps of a witness that say which machine it is."""
    return tuple(WitnessFact(name, value) for name, value in facts.items())
