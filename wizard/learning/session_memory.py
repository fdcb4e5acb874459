"""What was read of each session and verified, so that it is not verified again while no byte of its folder changes.

The file is only a memory: whatever is wrong with it, the sessions are read once more and nothing else changes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from pathlib import Path

from wizard.foreign.file_reader import read_file
from wizard.foreign.json_reader import read_json
from wizard.foreign.limits import Source
from wizard.journal.codec import from_table, to_table
from wizard.journal.durable_io import make_folder, put
from wizard.learning.observation import LeftOut, Observation

NAME = "observed.json"
"""The file's name in the home folder."""
FORMAT = 2
"""Of the file; 1 had no readings."""


@dataclass(frozen=True, slots=True)
class Remembered:
    """What a session of a flow said, or why it said nothing, when its folder had this digest."""

    digest: str
    flow: str
    observed: Observation | None = None
    left_out: LeftOut | None = None

    @classmethod
    def of(cls, digest: str, flow: str, result: Observation | LeftOut) -> Remembered:
        """One that is not remembered yet."""
        if isinstance(result, LeftOut):
            return cls(digest, flow, left_out=result)
        return cls(digest, flow, observed=result)

    @property
    def result(self) -> Observation | LeftOut | None:
        """What it said, or why it said nothing."""
        return self.observed if self.left_out is None else self.left_out


@dataclass(frozen=True, slots=True)
class MemoryTable:
    """The whole file: by which version of the program, each session by its place, and the file's format."""

    program: str
    sessions: Mapping[str, Remembered]
    format: int = 1


@dataclass(frozen=True, slots=True)
class SessionMemory:
    """The memory in a file; what another version of the program (``program``) remembers is forgotten."""

    path: Path
    program: str

    def load(self) -> dict[str, Remembered]:
        """Return what is remembered, by place; nothing where the file can't be read."""
        try:
            table = read_json(read_file(self.path, Source.OBSERVED), Source.OBSERVED)
            known = from_table(MemoryTable, table)
            if (known.program, known.format) != (self.program, FORMAT):
                return {}
            return {place: _sound(one) for place, one in known.sessions.items()}
        except (OSError, ValueError):
            return {}

    def keep(self, some: Mapping[str, Remembered]) -> None:
        """Write the memory anew. A home that can't be written has none, which costs time and nothing else."""
        text = json.dumps(to_table(MemoryTable(self.program, some, FORMAT)), ensure_ascii=True)
        try:
            make_folder(self.path.parent)
            put(self.path, text.encode("ascii"))
        except OSError:
            return


def _sound(one: Remembered) -> Remembered:
    """One that is remembered whole. ValueError where its evidence or a reading is none, or nothing is said."""
    if (one.observed is None) == (one.left_out is None):
        raise ValueError("a session was observed, or left out")
    for evidence in (one.observed.evidence, one.observed.either) if one.observed else ():
        if not all(0.0 <= e <= 1.0 for e in evidence.values()):
            raise ValueError("evidence is from 0 to 1")
    for reading in one.observed.readings if one.observed else ():
        whole = all(map(isfinite, (reading.value, reading.uncertainty)))
        if not whole or reading.uncertainty < 0.0 or not 0.0 < reading.evidence < 1.0:
            raise ValueError("a reading is a number with an uncertainty, and never sure")
    return one
