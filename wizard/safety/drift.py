"""How a belief widens by itself: what values turn into while nobody attends, and what rests on what.

On integers, as in :mod:`wizard.safety.belief_encoding`. What was computed once is kept: a machine meets few
different cases.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from graphlib import TopologicalSorter

from wizard.safety.belief_encoding import BeliefEncoding
from wizard.safety.form import Condition, closed


@dataclass(frozen=True, slots=True)
class Support:
    """A condition that rests on others: its bits, and the bits of the others with which it is no longer believed."""

    all: int
    breaks: int


@dataclass(frozen=True, slots=True)
class Drift:
    """What each value's bit turns into (``turns``), and the supports, in an order in which one pass settles a belief.

    ``restless`` are the bits of conditions that change alone at all; ``resting`` those of the supports and what they
    rest on.
    """

    turns: Mapping[int, int]
    supports: tuple[Support, ...]
    restless: int
    resting: int
    left: dict[int, int] = field(default_factory=dict, compare=False, repr=False)
    settled: dict[int, int] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def of(cls, encoding: BeliefEncoding, conditions: tuple[Condition, ...]) -> Drift:
        """The drift of these conditions. CycleError where they rest on each other in a circle."""
        turns: dict[int, int] = {}
        for condition in conditions:
            f = encoding.by_id[condition.id]
            for value, becomes in closed(condition.values, condition.alone).items():
                turns[f.values[value]] = f.mask(becomes)
        supports = _supports(encoding, {c.id: c for c in conditions})
        restless = sum(f.all for f in encoding.fields if any(turns[b] != b for b in f.values.values()))
        resting = 0
        for support in supports:
            resting |= support.all | support.breaks
        return cls(turns, supports, restless, resting)

    def away(self, bits: int) -> int:
        """The bits with all that they turn into while nobody attends; not settled."""
        own = bits & self.restless
        grown = self.left.get(own)
        if grown is None:
            grown = self.left[own] = self.grown(own)
        return bits | grown

    def settle(self, bits: int) -> int:
        """The bits in which what has lost what it rests on is widened."""
        own = bits & self.resting
        grown = self.settled.get(own)
        if grown is None:
            grown = own
            for support in self.supports:
                if grown & support.breaks:
                    grown |= self.grown(grown & support.all)
            self.settled[own] = grown
        return bits | grown

    def grown(self, bits: int) -> int:
        """All that these bits turn into."""
        grown = 0
        while bits:
            bit = bits & -bits
            grown |= self.turns[bit]
            bits ^= bit
        return grown


def _supports(encoding: BeliefEncoding, conditions: Mapping[str, Condition]) -> tuple[Support, ...]:
    """What rests on what, each after all that it rests on."""
    graph = {c.id: [base for base in c.rests_on if base in conditions] for c in conditions.values()}
    found: list[Support] = []
    for name in TopologicalSorter(graph).static_order():
        pairs = encoding.pairs(conditions[name].rests_on)
        if pairs:
            found.append(Support(encoding.by_id[name].all, sum(f.all & ~mask for f, mask in pairs)))
    return tuple(found)
