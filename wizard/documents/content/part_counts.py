"""Parts with their names and counts: those of a repair, and what a remedy needs on one machine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wizard.engine.messages.repair_parts import PartFitted, due_parts, set_size, whole_sets
from wizard.flow.model import Fault, Remedy

MOST_PARTS = 99
"""The most of one part that a list takes."""


@dataclass(frozen=True, slots=True)
class Needed:
    """A part and how many of it."""

    id: str
    says: str
    count: int

    @property
    def fitted(self) -> PartFitted:
        """As a command takes it."""
        return PartFitted(self.id, self.count)

    @property
    def words(self) -> str:
        """As people read it: '3 x Damper'."""
        return f"{self.count} x {self.says}"


def needed(remedy: Remedy, facts: Mapping[str, str], alternative: str = "") -> tuple[Needed, ...]:
    """The parts of a remedy, or of one of its alternatives, with their counts on this machine."""
    return tuple(_named(part, remedy) for part in whole_sets(remedy, facts, alternative))


def ordered(remedy: Remedy, facts: Mapping[str, str]) -> tuple[Needed, ...]:
    """Every part of a remedy, as an order begins: of alternatives those of the first that takes parts, the others 0."""
    first = next((set(a.parts) for a in remedy.alternatives if a.parts), None)
    return tuple(
        part if first is None or part.id in first else Needed(part.id, part.says, 0)
        for part in needed(remedy, facts)
    )


def short_words(
    remedy: Remedy, facts: Mapping[str, str], parts: Sequence[PartFitted], alternative: str = ""
) -> str:
    """'1 of 4 Suspension rod, 0 of 4 Strap': of which fewer are among ``parts`` than make the whole set for what was
    done on this machine; empty where it is whole, or takes no part.
    """
    fitted = {p.part: p.count for p in parts}
    due = ((part, set_size(part, facts)) for part in due_parts(remedy, alternative))
    return ", ".join(f"{fitted.get(p.id, 0)} of {n} {p.says}" for p, n in due if fitted.get(p.id, 0) < n)


def named(parts: tuple[PartFitted, ...], fault: Fault | None) -> tuple[Needed, ...]:
    """The parts of a repair with their names; one that the flow doesn't have is called by its id."""
    return tuple(_named(part, fault.remedy if fault else None) for part in parts)


def part_words(parts: tuple[PartFitted, ...], fault: Fault | None) -> str:
    """The parts of a repair: '3 x Damper, 1 x Set of pins'; empty where none is named."""
    return ", ".join(part.words for part in named(parts, fault))


def _named(part: PartFitted, remedy: Remedy | None) -> Needed:
    says = next((p.says for p in remedy.parts if p.id == part.part), part.part) if remedy else part.part
    return Needed(part.part, says, part.count)
