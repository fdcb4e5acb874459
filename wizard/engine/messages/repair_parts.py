"""The parts of a repair: what was fitted or ordered, and what a remedy takes on one machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.flow.model import Part, Remedy


@dataclass(frozen=True, slots=True)
class PartFitted:
    """A part of a remedy, by its id, and how many: fitted, on order, or named to a customer who declined."""

    part: str
    count: int


def set_size(part: Part, facts: Mapping[str, str]) -> int:
    """How many make the set: the machine's own number where the part says so."""
    own = facts.get(part.per, "") if part.per else ""
    return int(own) if own.isdecimal() and int(own) > 0 else part.count


def usual_alternative(remedy: Remedy) -> str:
    """The first of a remedy's alternatives; empty where it has none."""
    return remedy.alternatives[0].id if remedy.alternatives else ""


def whole_sets(remedy: Remedy, facts: Mapping[str, str]) -> tuple[PartFitted, ...]:
    """Every part of a remedy, as many as make its set on this machine."""
    return tuple(PartFitted(part.id, set_size(part, facts)) for part in remedy.parts)
