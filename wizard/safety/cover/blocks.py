"""A set of beliefs as one integer: a block of bits a condition, and in it a bit for each set of values it may have.

A set holds every combination of what its blocks hold, so it may hold more beliefs than were meant, and never fewer.
An empty block makes the whole set empty; that is written 0. Latches are in no block: where one stands, that is said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.safety.form import Condition, closed

ABSENT = 1
"""The lowest bit of a block: the machine doesn't have this condition. The bit of a set of values is 1 << its bits."""


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Where one condition, or one fact, stands in the integer: ``bits`` are all of its own, ``shift`` the lowest.

    ``values``: of a condition the values that are no latch, each with its bit within a set of values.
    """

    id: str
    shift: int
    width: int
    values: Mapping[str, int]
    grows: tuple[int, ...] = ()
    bits: int = 0
    maps: dict[tuple[str, int, int], int] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, condition: Condition, shift: int) -> Block:
        """The block of a condition."""
        names = [v for v in condition.values if v not in condition.latch]
        values = {name: 1 << n for n, name in enumerate(names)}
        width = 1 << len(names)
        turns = closed(condition.values, condition.alone)
        alone = {bit: sum(values[v] for v in turns[name] if v in values) for name, bit in values.items()}
        grows = tuple(_union(alone, each) for each in range(width))
        return cls(condition.id, shift, width, values, grows, ((1 << width) - 1) << shift)

    @classmethod
    def of_fact(cls, fact: str, names: tuple[str, ...], shift: int) -> Block:
        """The block of a fact: a bit a value."""
        values = {name: 1 << n for n, name in enumerate(names)}
        return cls(fact, shift, len(names), values, (), ((1 << len(names)) - 1) << shift)

    def mask(self, values: frozenset[str]) -> int:
        """These values, latches left out, as bits within a set of values."""
        return sum(bit for name, bit in self.values.items() if name in values)

    def within(self, mask: int) -> int:
        """The bits of all beliefs within these values, and that of the condition not being there."""
        return sum(1 << s for s in range(self.width) if not s & ~mask) << self.shift

    def possible(self, mask: int) -> int:
        """The bits of the beliefs that go beyond these values, and have some of them."""
        return sum(1 << s for s in range(1, self.width) if s & mask and s & ~mask) << self.shift

    def outside(self, mask: int) -> int:
        """The bits of the beliefs that have none of these values."""
        return sum(1 << s for s in range(1, self.width) if not s & mask) << self.shift

    def lost(self, mask: int) -> int:
        """The bits of the beliefs within these values that turn into others alone."""
        sets = (s for s in range(1, self.width) if not s & ~mask and self.grows[s] != s)
        return sum(1 << s for s in sets) << self.shift

    def joined(self, sets: int, mask: int) -> int:
        """The beliefs with these values joined to each."""
        return self._mapped(sets, "join", mask)

    def cut(self, sets: int, mask: int) -> int:
        """The beliefs narrowed to these values; those that have none of them must have been taken out before."""
        return self._mapped(sets, "cut", mask)

    def put(self, sets: int, mask: int) -> int:
        """The one belief that it has these values; not being there stays."""
        return self._mapped(sets, "put", mask)

    def widened(self, sets: int) -> int:
        """The beliefs with all that their values turn into alone."""
        return self._mapped(sets, "widen", 0)

    def _mapped(self, sets: int, how: str, mask: int) -> int:
        """The set with its own block mapped; each different block is mapped once."""
        own = sets & self.bits
        key = how, mask, own
        made = self.maps.get(key)
        if made is None:
            made = self.maps[key] = self._map(own >> self.shift, how, mask) << self.shift
        return sets ^ own | made

    def _map(self, own: int, how: str, mask: int) -> int:
        made = own & ABSENT
        for s in range(1, self.width):
            if own >> s & 1:
                grown = {"join": s | mask, "cut": s & mask, "put": mask, "widen": self.grows[s]}[how]
                made |= 1 << grown
        return made


def _union(alone: Mapping[int, int], values: int) -> int:
    """What these values turn into, all together."""
    grown = 0
    for bit, turns in alone.items():
        grown |= turns if values & bit else 0
    return grown


def narrowed(sets: int, block: int, keep: int) -> int:
    """The beliefs whose part in ``block`` is in ``keep``; 0 where there are none."""
    return sets & ~(block & ~keep) if sets & block & keep else 0
