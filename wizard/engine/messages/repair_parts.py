"""The parts of a repair: what was fitted or ordered, and what a remedy takes on one machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.flow.model import Part, Remedy

_DIGITS = 2
"""No machine has a hundred of anything that is counted. A record, or a flow, may say so all the same."""


@dataclass(frozen=True, slots=True)
class PartFitted:
    """A part of a remedy, by its id, and how many: fitted, on order, or named to a customer who declined."""

    part: str
    count: int


def set_size(part: Part, facts: Mapping[str, str]) -> int:
    """How many make the set: the machine's own number where the part says so."""
    return (counted(facts.get(part.per, "")) if part.per else 0) or part.count


def counted(value: str) -> int | None:
    """The number that a machine's fact says there are; None where it says none, or one that no machine has."""
    return int(value) if value.isdecimal() and len(value) <= _DIGITS else None


def usual_alternative(remedy: Remedy) -> str:
    """The first of a remedy's alternatives; empty where it has none."""
    return remedy.alternatives[0].id if remedy.alternatives else ""


def parts_of(remedy: Remedy, alternative: str) -> tuple[Part, ...]:
    """The parts that may go in for one of a remedy's alternatives; all of them where it has none of that id."""
    chosen = next((a for a in remedy.alternatives if a.id == alternative), None)
    return remedy.parts if chosen is None else tuple(p for p in remedy.parts if p.id in chosen.parts)


def due_parts(remedy: Remedy, alternative: str) -> tuple[Part, ...]:
    """The parts that go in whenever any do: those of the alternative done; where it has none of that id, all but
    the optional ones.
    """
    if any(a.id == alternative for a in remedy.alternatives):
        return parts_of(remedy, alternative)
    return tuple(part for part in remedy.parts if not part.optional)


def whole_sets(remedy: Remedy, facts: Mapping[str, str], alternative: str = "") -> tuple[PartFitted, ...]:
    """Every part of a remedy, or of one of its alternatives, as many as make its set on this machine."""
    return tuple(PartFitted(part.id, set_size(part, facts)) for part in parts_of(remedy, alternative))
