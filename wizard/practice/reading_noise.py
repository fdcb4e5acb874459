"""What a tool and a hand make of a true value: noise, resolution, now and then a slip."""

from __future__ import annotations

import math
from dataclasses import dataclass

from numpy.random import Generator

from wizard.flow.model import Reading, Tool
from wizard.measure.quantities.units import from_si

SHARED = math.sqrt(0.5)
"""Of a tool's uncertainty, the share that is its own error and stays the same while it is used, and that of each
reading: half the variance each."""


@dataclass(frozen=True, slots=True)
class ReadingNoise:
    """One use of a tool on a step: its own error ``offset`` (SI), the standard deviation of each reading, how often
    one is misread.
    """

    reading: Reading
    tool: Tool
    offset: float
    deviation: float
    misreads: float

    @classmethod
    def of(cls, reading: Reading, tool: Tool, blur: float, misreads: float, rng: Generator) -> ReadingNoise:
        """Return the noise of one use; ``blur`` (SI) is what the hand adds."""
        offset = float(rng.normal(0.0, tool.uncertainty * SHARED)) if tool.uncertainty else 0.0
        return cls(reading, tool, offset, math.hypot(tool.uncertainty * SHARED, blur), misreads)

    def typed(self, truth: float, rng: Generator) -> str:
        """Return a true value (SI) as it is typed, in the step's unit, within the range that is believed."""
        value = truth + self.offset + (float(rng.normal(0.0, self.deviation)) if self.deviation else 0.0)
        if self.tool.resolution:
            value = round(value / self.tool.resolution) * self.tool.resolution
        value = min(max(value, self.reading.low), self.reading.high)
        text = f"{from_si(value, self.reading.unit):.6g}"
        return self._slipped(text, rng) if rng.random() < self.misreads else text

    def _slipped(self, text: str, rng: Generator) -> str:
        """Return a reading with two neighbouring digits swapped, or one digit off by one, if that is still believed."""
        places = [n for n, c in enumerate(text) if c.isdecimal()]
        pairs = [n for n in places if n + 1 in places and text[n] != text[n + 1]]
        if pairs:
            at = int(rng.choice(pairs))
            slip = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
        else:
            at = int(rng.choice(places))
            slip = text[:at] + str((int(text[at]) + 1) % 10) + text[at + 1 :]
        low, high = (from_si(edge, self.reading.unit) for edge in (self.reading.low, self.reading.high))
        return slip if low <= float(slip) <= high else text
