"""What a session leaves that can be met again in another, as data. How it is read: ``traces_reading``."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file that was kept with a session: its SHA-256, and whether it is a photo or else a recording."""

    digest: str
    photo: bool


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """All readings of one step as they were answered. ``step``: 'inspection.step'; ``readings``: SI, with a space
    between; ``mark``: a digest of both, by which the same is met again; ``count``: how many. ``grain``: what the last
    figure is worth that the tool shows and was written, SI; ``noise``: the tool's standard uncertainty, SI, 0 where
    nobody knows the tool; ``unit``: what it is read in.
    """

    step: str
    readings: str
    mark: str
    count: int
    grain: float
    noise: float
    unit: str


@dataclass(frozen=True, slots=True)
class WorkStretch:
    """Somebody at work in a session without a longer pause: seconds since 1970 in UTC, by the wall clock."""

    person: str
    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class SessionTraces:
    """All of a session. ``earlier``, ``earlier_seal``: the one that it names as begun before it on its computer."""

    files: tuple[KeptFile, ...] = ()
    rows: tuple[ReadingRow, ...] = ()
    stretches: tuple[WorkStretch, ...] = ()
    earlier: str = ""
    earlier_seal: str = ""


NO_TRACES = SessionTraces()
"""Of a session that could not be read."""
