"""One thing that stands in several sessions and should stand in one, as data."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique


@unique
class CrossingKind(StrEnum):
    """What was met again: a session named that isn't here; one named twice as the one before; a photo; a recording;
    rows of readings; a person at work in two jobs at once.
    """

    GONE = "gone"
    DOUBLED = "doubled"
    PHOTO = "photo"
    RECORDING = "recording"
    READINGS = "readings"
    OVERLAP = "overlap"


@dataclass(frozen=True, slots=True)
class Crossing:
    """``sessions``: those that it is about, the earliest first, at most ``SHOWN``, none where it is
    of one that isn't here; ``count``: how many there are.
    """

    kind: CrossingKind
    sessions: tuple[str, ...]
    count: int
    says: str
    evidence: str


SHOWN = 20
"""So many sessions of one crossing are named."""

MOST = 200
"""So many crossings of a kind are found; that there are more is said."""
