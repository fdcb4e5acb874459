"""The drum's orders in a recording: how much turns once, twice ... a turn, each reading taken at its own time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.recordings.reading.recorded_signal import Array

Complex = NDArray[np.complex128]
_FEWEST = 3  # readings for each number that is fitted
_GAP = 0.25  # of a window: with more of it missing its orders can't be parted


@dataclass(frozen=True, slots=True, eq=False)
class OrderLines:
    """``at`` s; ``lines`` complex amplitudes, shape (n, orders, channels), 0 where there are too few readings
    or a gap; ``noise``: standard uncertainty of each part of them, shape (n, channels), infinite there.
    """

    at: Array
    lines: Complex
    noise: Array

    def size(self, order: int) -> Array:
        """Return the amplitude of an order (from 1) over all channels, shape (n,)."""
        return np.asarray(np.sqrt(np.sum(np.abs(self.lines[:, order - 1]) ** 2, axis=1)))


def order_lines(
    time: Array, values: Array, phase: Array, at: Array, widths: Array, orders: int
) -> OrderLines:
    """Return the amplitudes of orders 1 to ``orders`` round each of ``at``, in windows ``widths`` s long (Hann).

    ``phase`` of the drum at each ``time``, rad, NaN where it isn't known. Weighted least squares of all orders and a
    level at once, at the readings' own times.
    """
    count, channels = len(at), values.shape[1]
    lines = np.zeros((count, orders, channels), dtype=np.complex128)
    noise = np.full((count, channels), np.inf)
    multiples = np.arange(1, orders + 1)
    for n, (middle, width) in enumerate(zip(at, widths, strict=True)):
        first, last = np.searchsorted(time, [middle - width / 2, middle + width / 2])
        angle = phase[first:last]
        if last - first < _FEWEST * (2 * orders + 2) or np.isnan(angle).any():
            continue
        edges = np.concatenate([[middle - width / 2], time[first:last], [middle + width / 2]])
        if float(np.max(np.diff(edges))) > _GAP * width:
            continue
        weight = np.cos(np.pi * (time[first:last] - middle) / width) ** 2
        turns = np.outer(angle, multiples)
        basis = np.column_stack(
            [np.cos(turns), np.sin(turns), np.ones(len(angle)), time[first:last] - middle]
        )
        scaled = basis * weight[:, None]
        normal = basis.T @ scaled
        try:
            found = np.linalg.solve(normal, scaled.T @ values[first:last])
        except np.linalg.LinAlgError:
            continue
        rest = values[first:last] - basis @ found
        lines[n] = found[:orders] - 1j * found[orders : 2 * orders]
        variance = (weight @ rest**2) / weight.sum() * len(angle) / max(1, len(angle) - basis.shape[1])
        noise[n] = np.sqrt(2 * variance * np.sum(weight**2)) / weight.sum()
    return OrderLines(at, lines, noise)
