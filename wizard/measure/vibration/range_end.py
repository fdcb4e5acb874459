"""Where a sensor was at the end of its range."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from wizard.measure.damping.decay_model import Array


def clipped(values: Array) -> NDArray[np.bool_]:
    """Return where the values stand at their largest or smallest, three or more on end with a leap beside them.

    A swing that was read coarsely also stands still where it turns, but comes there in small steps; and a tub that
    is held stands still at the record's edge.
    """
    found = np.zeros(len(values), dtype=bool)
    steps = np.abs(np.diff(values))
    moved = steps[steps > 0]
    if len(moved) == 0:
        return found
    leap = 3 * float(moved.min())
    for end in (values.max(), values.min()):
        for first, last in _runs(values == end):
            inside = first > 0 and last < len(values)
            if last - first >= 3 and inside and max(steps[first - 1], steps[last - 1]) >= leap:
                found[first:last] = True
    return found


def _runs(there: NDArray[np.bool_]) -> Sequence[tuple[int, int]]:
    """Return first and past-the-last index of each run of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], there.astype(int), [0]])))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]
