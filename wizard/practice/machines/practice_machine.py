"""A machine: its kind, facts and quantities, the faults hidden in it; drawn healthy, then changed by each fault."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from numpy.random import Generator

from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.model import Flow, fits
from wizard.measure.quantities.units import span_to_si
from wizard.practice.declaring.machine_tables import FaultChange, MachineKind, QuantityRange
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.declaring.practice_vocabulary import UNITS, ChangeHow, ChangeItems, MachineQuantity

SET = 0.1
"""What is left of a foot's lift and of a slope once the feet were set again: an estimate."""

Values = Mapping[MachineQuantity, tuple[float, ...]]


@dataclass(frozen=True, eq=False)
class Machine:
    """A machine as it truly is. ``values`` are SI, one number an item; ``faults`` how bad each hidden fault is.

    ``odd`` is the item that a fault of one item hits; ``lot`` tells this machine's chances from another's.
    """

    kind: str
    facts: Mapping[str, str]
    values: Values
    faults: Mapping[str, FaultSeverity]
    odd: float
    lot: int

    def one(self, quantity: MachineQuantity) -> float:
        """The quantity, SI: its first item, or its only one."""
        return self.values[quantity][0]

    def items(self, quantity: MachineQuantity) -> tuple[float, ...]:
        """Every item of a quantity, SI."""
        return self.values[quantity]


def draw_kind(practice: Practice, rng: Generator) -> MachineKind:
    """Return a kind of machine, drawn by its share."""
    kinds = tuple(practice.machines.values())
    shares = [k.share for k in kinds]
    return kinds[int(rng.choice(len(kinds), p=[s / sum(shares) for s in shares]))]


def draw_healthy(practice: Practice, flow: Flow, kind: MachineKind, rng: Generator) -> Machine:
    """Return a healthy machine of a kind: its facts by their chances, its quantities within their ranges."""
    facts = {flow.kind: kind.id}
    facts |= {fact: _picked(chances, rng) for fact, chances in kind.facts.items()}
    values: Values = {q: _drawn(q, spec, facts, rng) for q, spec in kind.quantities.items()}
    bounce, hung = values[MachineQuantity.BOUNCE][0], values[MachineQuantity.HUNG_MASS][0]
    values = {**values, MachineQuantity.STIFFNESS: (hung * (math.tau * bounce) ** 2,)}
    odd, lot = float(rng.random()), int(rng.integers(2**31))
    for variation in practice.variations:
        rank = int(rng.integers(len(FaultSeverity)))
        if fits(variation.facts, facts):
            values = with_changes(values, variation.changes, rank, odd)
    return Machine(kind.id, facts, values, {}, odd, lot)


def with_faults(practice: Practice, healthy: Machine, faults: Mapping[str, FaultSeverity]) -> Machine:
    """Return a healthy machine with these faults hidden in it; a repaired one is that with fewer."""
    values = healthy.values
    for name, severity in faults.items():
        values = with_changes(values, practice.faults[name].changes, severity.rank, healthy.odd)
    return replace(healthy, values=values, faults=dict(faults))


def on_set_feet(machine: Machine) -> Machine:
    """Return a machine whose feet were set: of what they lift and it slopes a tenth is left."""
    values = dict(machine.values)
    for quantity in (MachineQuantity.FOOT_LIFT, MachineQuantity.SLOPE):
        values[quantity] = tuple(SET * v for v in values[quantity])
    return replace(machine, values=values)


def with_changes(values: Values, changes: Sequence[FaultChange], rank: int, odd: float) -> Values:
    """Return quantities after some changes, each by its number of this rank."""
    found = dict(values)
    for change in changes:
        before = found[change.quantity]
        hit = int(odd * len(before)) if change.items is ChangeItems.ONE else None
        by = change.by[rank]
        found[change.quantity] = tuple(
            _change(value, change.how, by, UNITS[change.quantity]) if hit in (None, n) else value
            for n, value in enumerate(before)
        )
    return found


def _change(value: float, how: ChangeHow, by: float, unit: str) -> float:
    """Return one number after a change."""
    if how is ChangeHow.TIMES:
        return value * by
    amount = span_to_si(by, unit)
    return value + amount if how is ChangeHow.PLUS else amount


def _picked(chances: Mapping[str, float], rng: Generator) -> str:
    """Return one of the keys, by its chance."""
    return str(rng.choice(list(chances), p=list(chances.values())))


def _drawn(
    quantity: MachineQuantity, spec: QuantityRange, facts: Mapping[str, str], rng: Generator
) -> tuple[float, ...]:
    """Return a healthy machine's value of a quantity, SI, one an item; none that can't be negative is."""
    count = int(facts[spec.per]) if spec.per else spec.count
    own = rng.uniform(spec.low, spec.high)
    each = own + rng.normal(0.0, spec.spread, count) if spec.spread else [own] * count
    least = 0.0 if spec.low >= 0 else -float("inf")
    return tuple(span_to_si(max(least, float(v)), UNITS[quantity]) for v in each)
