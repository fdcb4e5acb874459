"""How long the machine was left alone, and how long a wait has lasted, by two clocks that may both mislead.

The wall clock may be set; the steady clock may stand still while the computer sleeps. So a lapse counts the larger
gap and a wait the smaller: whichever errs, it errs to the safe side.
"""

from __future__ import annotations

from dataclasses import dataclass

SET_BACK = 2.0
"""Seconds that a clock may go back without a word: the wall clock is trimmed by so much when the net sets it."""


@dataclass(frozen=True, slots=True)
class Moment:
    """One moment by both clocks, in seconds: ``wall`` since any fixed time, ``steady`` since the program began."""

    wall: float
    steady: float


@dataclass(frozen=True, slots=True)
class Gap:
    """The time between two moments by both clocks, in seconds."""

    wall: float
    steady: float

    @property
    def lapse(self) -> float:
        """How long nobody may have attended: the larger gap, never below zero."""
        return max(self.wall, self.steady, 0.0)

    @property
    def wait(self) -> float:
        """How long it has surely been: the smaller gap, never below zero."""
        return max(min(self.wall, self.steady), 0.0)

    @property
    def set_back(self) -> bool:
        """True when a clock went back, so that nobody knows how long it was."""
        return min(self.wall, self.steady) < -SET_BACK


def gap(before: Moment, now: Moment) -> Gap:
    """The time from ``before`` to ``now``. Moments of two runs of the program have no common steady clock."""
    return Gap(now.wall - before.wall, now.steady - before.steady)
