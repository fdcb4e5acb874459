"""A belief as one integer: a bit a value. Here is which bit is which, and the way in and out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from wizard.safety.form import Condition


@dataclass(frozen=True, slots=True)
class ConditionBits:
    """The bits of one condition: ``all`` of them, those of its ``latch``, and each value's own."""

    id: str
    all: int
    latch: int
    values: Mapping[str, int]
    names: dict[int, frozenset[str]] = field(default_factory=dict, compare=False, repr=False)
    masks: dict[frozenset[str], int] = field(default_factory=dict, compare=False, repr=False)

    def mask(self, values: frozenset[str]) -> int:
        """The bits of these values. ValueError names one that the condition doesn't have."""
        known = self.masks.get(values)
        if known is None:
            for value in values:
                if value not in self.values:
                    raise ValueError(f"condition {self.id!r} has no value {value!r}")
            known = self.masks[values] = sum(self.values[value] for value in values)
        return known

    def read(self, bits: int) -> frozenset[str]:
        """The values of this condition among the bits of a belief."""
        own = bits & self.all
        known = self.names.get(own)
        if known is None:
            known = self.names[own] = frozenset(v for v, bit in self.values.items() if bit & own)
        return known


@dataclass(frozen=True, slots=True)
class BeliefEncoding:
    """Which bits are whose, of one machine, in the library's order: the lowest bit is the first
    condition's.
    """

    fields: tuple[ConditionBits, ...]
    by_id: Mapping[str, ConditionBits]
    latches: int
    top: int

    @classmethod
    def of(cls, conditions: Iterable[Condition]) -> BeliefEncoding:
        """The encoding of these conditions, one bit a value in the order of the file."""
        fields: list[ConditionBits] = []
        place = 0
        for condition in conditions:
            values = {value: 1 << place + n for n, value in enumerate(condition.values)}
            place += len(values)
            latch = sum(bit for value, bit in values.items() if value in condition.latch)
            fields.append(ConditionBits(condition.id, sum(values.values()), latch, values))
        latches = sum(f.latch for f in fields)
        return cls(
            tuple(fields),
            {f.id: f for f in fields},
            latches,
            sum(f.all for f in fields) & ~latches,
        )

    def pairs(self, sets: Mapping[str, frozenset[str]]) -> list[tuple[ConditionBits, int]]:
        """The bits of each condition, and those of its values, that this machine has, in order."""
        if len(sets) * 4 > len(self.fields):
            return [(f, f.mask(sets[f.id])) for f in self.fields if f.id in sets]
        found = [(self.by_id[c], values) for c, values in sets.items() if c in self.by_id]
        return sorted(((f, f.mask(v)) for f, v in found), key=lambda pair: pair[0].all)

    def encode(self, belief: Mapping[str, frozenset[str]]) -> int:
        """The bits of a belief. A condition that it leaves out, or of which it says nothing, may be anything."""
        bits, get = 0, belief.get
        for f in self.fields:
            values = get(f.id)
            bits |= (f.masks.get(values) or f.mask(values)) if values else f.all & ~f.latch
        return bits

    def decode(self, bits: int) -> dict[str, frozenset[str]]:
        """The belief that these bits stand for."""
        return {f.id: f.read(bits) for f in self.fields}
