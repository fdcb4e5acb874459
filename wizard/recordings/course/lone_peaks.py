"""Peaks that stand alone: far above the largest of every turn before them and after them. No knock each turn does."""

from __future__ import annotations

import numpy as np

from wizard.recordings.reading.recorded_signal import Array

SLOT = 0.75
"""s: each holds a turn or more of a drum that turns 80 times a minute or faster."""

_WIDE = 16  # slots to each side
_LOW = 0.25  # of the slots to one side: so many of twelve seconds may hold other blows' quiet
_FEWEST = 5
_OWN = 1  # slots beside its own that may hold its ring


def over_neighbours(time: Array, size: Array, wide: int = _WIDE, share: float = _LOW) -> Array:
    """Return how many times as large each of ``size`` (n,) is as what comes again and again before it or after it.

    What comes again: the lower quartile of the largest value of each three quarters of a second, over twelve seconds;
    of both sides the larger (``wide`` slots to each side, their ``share`` quantile). So blows that come with each turn
    for up to nine seconds, as at a resonance, stand out, and knocks that go on don't.
    """
    slot = (time / SLOT).astype(int)
    tops = np.zeros(int(slot[-1]) + 1)
    np.maximum.at(tops, slot, size)
    again = np.array([_again(tops, n, wide, share) for n in range(len(tops))])
    return np.asarray(size / np.maximum(again[slot], 1e-30))


def _again(tops: Array, at: int, wide: int, share: float) -> float:
    """Return the level that comes again to either side of a slot, the larger."""
    sides = tops[max(0, at - _OWN - wide) : max(0, at - _OWN)], tops[at + _OWN + 1 : at + _OWN + 1 + wide]
    enough = min(_FEWEST, wide)
    return max(
        (float(np.quantile(side, share)) for side in sides if len(side) >= enough), default=float(tops.max())
    )
