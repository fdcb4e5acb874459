"""Checks in order of what they save a minute, a way in that several need counted once among them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

# The least minutes an inspection is taken to cost, so that one of no minutes has a place too.
LEAST = 0.25


@dataclass(frozen=True, slots=True)
class CostedInspection:
    """An inspection: what it ``saves``, its ``own`` minutes, and its ``way`` in: each part of it with its minutes."""

    saves: float
    own: float
    way: Mapping[str, float] = field(default_factory=dict)

    @property
    def minutes(self) -> float:
        """The minutes of its way in and its own, were it the only inspection."""
        return max(self.own + sum(self.way.values()), LEAST)


@dataclass(frozen=True, slots=True)
class RankedInspection:
    """An inspection's place: its index, what it saves a minute, and how many inspections share its way in for that."""

    index: int
    rate: float
    shared: int


def best_first(bids: Sequence[CostedInspection]) -> tuple[RankedInspection, ...]:
    """The inspections, most saved a minute first; ties keep their order.

    An inspection's rate is its own, or that of the best group with it: inspections behind the same way in, the way
    paid once.
    """
    places = [RankedInspection(i, *_rate(i, bids)) for i in range(len(bids))]
    return tuple(sorted(places, key=lambda place: -place.rate))


def _rate(index: int, bids: Sequence[CostedInspection]) -> tuple[float, int]:
    """The best rate of the inspection in a group behind its way in, and how many others are in that group."""
    bid = bids[index]
    saves, minutes = bid.saves, bid.minutes
    if not bid.way:
        return saves / minutes, 0
    best, shared = saves / minutes, 0
    company = [
        other
        for i, other in enumerate(bids)
        if i != index and other.way and other.way.keys() <= bid.way.keys()
    ]
    company.sort(key=lambda other: -other.saves / max(other.own, LEAST))
    for count, other in enumerate(company, 1):
        saves, minutes = saves + other.saves, minutes + max(other.own, LEAST)
        if saves / minutes > best:
            best, shared = saves / minutes, count
    return best, shared
