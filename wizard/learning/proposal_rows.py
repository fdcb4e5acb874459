"""The file of a proposal as it is written: its tables and rows, each key declared once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.learning.estimate import Estimate, NumberId, NumberStanding

FORMAT = 2
DIGITS = 6
"""Significant digits of what was learned; what is written into a flow has fewer."""


@dataclass(frozen=True, slots=True)
class NumberRow:
    """One number. ``stands``: what the sessions say of it; ``old``: as the flow has it, ``new``: as it would be
    written; ``learned``, with ``low`` to ``high`` where it lies 95 times in 100; ``sessions`` that speak for it,
    ``missing``: so many more are wanted; ``gain`` in bits a later case; ``why`` it is not offered, or empty.
    """

    id: str
    stands: NumberStanding
    old: float
    new: float
    learned: float
    low: float
    high: float
    sessions: float
    missing: int
    gain: float
    why: str = ""

    @classmethod
    def of(cls, estimate: Estimate, new: float, gain: float) -> NumberRow:
        """The row of an estimate."""
        e = estimate
        return cls(
            str(e.id), e.standing, e.old, new, short(e.new), short(e.low), short(e.high), short(e.sessions),
            e.missing, short(gain), e.why,
        )  # fmt: skip

    @property
    def estimate(self) -> Estimate:
        """What was learned. ValueError where the id names no number."""
        number = NumberId.read(self.id)
        return Estimate(
            number, self.old, self.learned, self.low, self.high, self.sessions, self.missing, self.why
        )


@dataclass(frozen=True, slots=True)
class TakingRow:
    """Numbers that were written into the flow: when, what stood ``before``, and what stands since."""

    at: str
    before: Mapping[str, float]
    since: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class ProposalTable:
    """The whole file. ``left_out``: sessions by why they say nothing; ``score`` of the earlier sessions' numbers on
    the later ones; ``taken``: oldest first.
    """

    format: int
    flow: str
    version: str
    digest: str
    at: str
    proved: int
    unproved: int
    left_out: Mapping[str, tuple[str, ...]]
    score: Mapping[str, float]
    number: tuple[NumberRow, ...]
    taken: tuple[TakingRow, ...]


def short(value: float) -> float:
    """A number with as many digits as are worth reading."""
    return float(f"{value:.{DIGITS}g}")
