"""One thing that a recording says: a value with its uncertainty, in a sentence, and how it is known."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.recording_vocabulary import FigureKind


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
