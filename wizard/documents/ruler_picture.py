"""A limit with readings on it as the parts of a picture, free of any form: bands, edges and marks along one line.

Places are shares of the line, 0 at its left end and 1 at its right. What a colour would say stands in words as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from wizard.domain.vocabulary import Verdict


class MarkKind(StrEnum):
    """What a mark is of: the reading that decides before the repair, or after it, or another one of the same step."""

    BEFORE = "before"
    AFTER = "after"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class RulerBand:
    """A band from ``start`` to ``end``, its verdict, and that in a customer's words."""

    start: float
    end: float
    verdict: Verdict
    words: str


@dataclass(frozen=True, slots=True)
class RulerEdge:
    """Where two bands meet, and the figure there, without its unit."""

    at: float
    figure: str


@dataclass(frozen=True, slots=True)
class RulerMark:
    """A reading: its place, its ends (twice its standard uncertainty to both sides), and its words.

    ``beyond``: -1 where it lies left of the line's end, 1 right of it, else 0.
    """

    kind: MarkKind
    at: float
    low: float
    high: float
    beyond: int
    words: str


@dataclass(frozen=True, slots=True)
class RulerPicture:
    """The parts in their order from left to right; ``unit`` of all edges; ``says``: the whole picture in words."""

    bands: tuple[RulerBand, ...]
    edges: tuple[RulerEdge, ...]
    marks: tuple[RulerMark, ...]
    unit: str
    says: str
