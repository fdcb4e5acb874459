"""How long the words of a step take to read, and to do: before that, no answer to it can be meant."""

from __future__ import annotations

from wizard.flow.model import Step
from wizard.flow.model.steps import HandsStep

LOOK = 1.0
"""Seconds to find where the words begin."""

PACE = 5.0
"""Words a second: that of a quick reader (300 a minute; from memory, silent reading is put at 200 to 300)."""

MOST = 6.0
"""Seconds at most: a long step is known from the last time."""


def reading_seconds(step: Step) -> float:
    """Seconds that the cautions of a step, what to do and what to expect take to read. Its minutes don't count."""
    return words_seconds(step.do, step.expect, *(c.says for c in step.caution))


def least_seconds(step: Step) -> float:
    """Seconds that a step takes at least: to read it, or to do it where the flow says that this takes longer."""
    return max(reading_seconds(step), step.takes if isinstance(step, HandsStep) else 0.0)


def words_seconds(*texts: str) -> float:
    """Seconds that these texts take to read, found first; at most ``MOST``."""
    return min(MOST, LOOK + sum(len(text.split()) for text in texts) / PACE)
