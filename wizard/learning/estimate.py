"""One number of a flow beside what sessions say of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

SURE_ENOUGH = 1.96
"""Half the width of an interval that holds the number 95 times in 100, in standard errors."""


@unique
class NumberKind(StrEnum):
    """Which of a flow's numbers."""

    WEIGHT = "weight"
    LEAK = "leak"
    SHARE = "share"
    MINUTES = "minutes"


@unique
class NumberStanding(StrEnum):
    """What the sessions say of a number: another, the same as far as they can tell, or too little."""

    CHANGE = "change"
    AGREES = "agrees"
    FEW = "too few"


@dataclass(frozen=True, slots=True)
class NumberId:
    """A number of a flow: ``thing`` is a finding (weight, leak), a fault (share) or an inspection (minutes); ``of``
    the fault of a weight, the kind of machine of a share, else empty.
    """

    kind: NumberKind
    thing: str
    of: str = ""

    def __str__(self) -> str:
        """As it is named on the command line: 'weight:sways:rods', 'minutes:quick'."""
        return ":".join(part for part in (self.kind.value, self.thing, self.of) if part)

    @classmethod
    def read(cls, text: str) -> NumberId:
        """The number that a text names. ValueError where it is not of that form."""
        kind, *parts = text.split(":")
        wanted = 2 if kind in (NumberKind.WEIGHT, NumberKind.SHARE) else 1
        if kind not in tuple(NumberKind) or len(parts) != wanted or not all(parts):
            such = "weight:FINDING:FAULT, leak:FINDING, share:FAULT:KIND, minutes:INSPECTION"
            raise ValueError(f"{text!r} names no number. Such are {such}.")
        return cls(NumberKind(kind), *parts)


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number as the flow has it, and as the sessions have it.

    ``low`` to ``high``: where it lies 95 times in 100, the flow's own number counted in. ``sessions``: how many speak
    for it; ``missing``: how many more are wanted before it is changed (0: enough). Where some are missing ``new`` is
    ``old``. All of a weight, a leak: probabilities; of a share: percent; else minutes.
    """

    id: NumberId
    old: float
    new: float
    low: float
    high: float
    sessions: float
    missing: int = 0

    @property
    def standing(self) -> NumberStanding:
        """A change where the interval leaves the flow's number out."""
        if self.missing:
            return NumberStanding.FEW
        inside = self.low <= self.old <= self.high
        return NumberStanding.AGREES if inside else NumberStanding.CHANGE
