"""One thing that a recording says: a value with its uncertainty, in a sentence, and how it is known."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique


@unique
class FigureKind(StrEnum):
    """What a figure is of."""

    TOP_SPEED = "top speed"
    RUN_UP_PEAK = "run-up peak"
    RUN_UP_DAMPING = "damping in the run-up"
    COAST_PEAK = "coast-down peak"
    COAST_DAMPING = "damping in the coast-down"
    ONCE_A_TURN = "once a turn"
    TWICE_A_TURN = "twice a turn"
    KNOCK = "knock each turn"
    BANG = "bang"
    ROAR = "roar"
    FIXED_MODE = "mode that stays"
    BEARING_TONE = "bearing tone"
    SQUEAL = "squeal"
    SEVERITY = "severity"


@dataclass(frozen=True, slots=True)
class SpinFigure:
    """What a recording says of one thing.

    ``value`` in ``unit``, None where it can't be told (``says`` has why); ``uncertainty`` is standard. ``at`` s from
    the start, where it has a moment. ``present``: of what may be there or not, whether it was found. ``says``: a
    sentence; ``known_by``: how it is known. ``bias``: by how much the value may be off to the one side that ``says``
    names.
    """

    kind: FigureKind
    value: float | None
    uncertainty: float
    unit: str
    says: str
    known_by: str
    at: float | None = None
    present: bool | None = None
    bias: float = 0.0


def refused(kind: FigureKind, unit: str, why: str) -> SpinFigure:
    """Return the figure of what can't be told; ``why`` is a sentence."""
    return SpinFigure(kind, None, 0.0, unit, why, "")
