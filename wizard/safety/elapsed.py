"""How long the machine was left alone, by two clocks that may both mislead.

The wall clock may be set; the steady clock may stand still while the computer sleeps. So the larger time counts:
whichever clock errs, it errs to the safe side.
"""

from __future__ import annotations

from dataclasses import dataclass

SET_BACK = 2.0
"""Seconds that the wall clock may go back without a word: it is trimmed by so much when the net sets it."""


@dataclass(frozen=True, slots=True)
class ClockMoment:
    """One moment by both clocks, in seconds: ``wall`` since any fixed time, ``steady`` since the program began."""

    wall: float
    steady: float


@dataclass(frozen=True, slots=True)
class ElapsedTime:
    """The time between two moments by both clocks, in seconds."""

    wall: float
    steady: float

    @property
    def alone(self) -> float:
        """How long nobody may have attended: the larger time, never below zero."""
        return max(self.wall, self.steady, 0.0)

    @property
    def set_back(self) -> bool:
        """True when a clock went back, so that nobody knows how long it was."""
        return self.wall < -SET_BACK or self.steady < 0


def elapsed(before: ClockMoment, now: ClockMoment) -> ElapsedTime:
    """The time from ``before`` to ``now``, both of one run of the program: another run has another steady clock."""
    return ElapsedTime(now.wall - before.wall, now.steady - before.steady)
