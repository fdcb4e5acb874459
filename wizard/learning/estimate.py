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
    CURVE = "curve"


@unique
class NumberStanding(StrEnum):
    """What the sessions say of a number: another, the same as far as they can tell, too little; or another that the
    flow's check would refuse.
    """

    CHANGE = "change"
    AGREES = "agrees"
    FEW = "too few"
    UNSOUND = "not offered"


@dataclass(frozen=True, slots=True)
class NumberId:
    """A number of a flow: ``thing`` is a finding (weight, leak), a fault (share), an inspection (minutes) or a limit's
    curve (`curve_numbers`); ``of`` the fault of a weight, the kind of machine of a share, which number of a curve, else
    empty.
    """

    kind: NumberKind
    thing: str
    of: str = ""

    def __str__(self) -> str:
        """As it is named on the command line: 'weight:sways:rods', 'curve:rod-drag:usual'."""
        return ":".join(part for part in (self.kind.value, self.thing, self.of) if part)

    @classmethod
    def read(cls, text: str) -> NumberId:
        """The number that a text names. ValueError where it is not of that form."""
        kind, *parts = text.split(":")
        wanted = 2 if kind in (NumberKind.WEIGHT, NumberKind.SHARE, NumberKind.CURVE) else 1
        if kind not in tuple(NumberKind) or len(parts) != wanted or not all(parts):
            such = (
                "weight:FINDING:FAULT, leak:FINDING, share:FAULT:KIND, minutes:INSPECTION, curve:LIMIT:usual, "
                "curve:LIMIT:scatter, curve:LIMIT:BAND.SEVERITY"
            )
            raise ValueError(f"{text!r} names no number. Such are {such}.")
        return cls(NumberKind(kind), *parts)

    @property
    def whole(self) -> NumberId | None:
        """What it is a part of, as an id without the part: numbers of one whole change together. None where it stands
        by itself. Such are the shares of a kind, and the numbers of a curve.
        """
        if self.kind is NumberKind.SHARE:
            return NumberId(self.kind, "", self.of)
        return NumberId(self.kind, self.thing) if self.kind is NumberKind.CURVE else None


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number as the flow has it, and as the sessions have it.

    ``low`` to ``high``: where it lies 95 times in 100, the flow's own number counted in. ``sessions``: how many speak
    for it; ``missing``: how many more are wanted before it is changed (0: enough). Where some are missing ``new`` is
    ``old``. ``why``: what the flow's check would say of ``new``, and so it is not offered; empty where it is. All of a
    weight, a leak: probabilities; of a share: percent; of a curve: the limit's unit; else minutes.
    """

    id: NumberId
    old: float
    new: float
    low: float
    high: float
    sessions: float
    missing: int = 0
    why: str = ""

    @property
    def standing(self) -> NumberStanding:
        """A change where the interval leaves the flow's number out, and the flow would be sound with the new one."""
        if self.missing:
            return NumberStanding.FEW
        if self.why:
            return NumberStanding.UNSOUND
        inside = self.low <= self.old <= self.high
        return NumberStanding.AGREES if inside else NumberStanding.CHANGE
