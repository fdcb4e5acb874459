"""Parts as a journal keeps them ('damper x3'), and what a remedy needs on one machine."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from wizard.flow.model import Fault, Part, Remedy

_CODE = re.compile(r"(.+) x(\d+)")


@dataclass(frozen=True, slots=True)
class Needed:
    """A part and how many of it."""

    id: str
    says: str
    count: int

    @property
    def code(self) -> str:
        """As it is written into the journal."""
        return f"{self.id} x{self.count}"

    @property
    def words(self) -> str:
        """As people read it: '3 x Damper'."""
        return f"{self.count} x {self.says}"


def needed(remedy: Remedy, facts: Mapping[str, str]) -> tuple[Needed, ...]:
    """The parts of a remedy with their counts on this machine."""
    return tuple(Needed(p.id, p.says, count(p, facts)) for p in remedy.parts)


def count(part: Part, facts: Mapping[str, str]) -> int:
    """How many make the set: the machine's own number where the part says so."""
    own = facts.get(part.per, "") if part.per else ""
    return int(own) if own.isdecimal() and int(own) > 0 else part.count


def read(code: str, fault: Fault | None, facts: Mapping[str, str] | None = None) -> Needed:
    """A part of a journal. A code without a count is a set, of this machine where its ``facts`` are
    known; an unknown id is shown as it stands.
    """
    matched = _CODE.fullmatch(code)
    part_id = matched[1] if matched else code
    known = next((p for p in fault.remedy.parts if p.id == part_id), None) if fault else None
    number = int(matched[2]) if matched else count(known, facts or {}) if known else 1
    return Needed(part_id, known.says if known else part_id, number)
