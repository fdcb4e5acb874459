"""What was read of each session and verified, so that it is not verified again while no byte of its folder changes.

The file is only a memory: whatever is wrong with it, the sessions are read once more and nothing else changes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from wizard.foreign.file_reader import read_file
from wizard.foreign.json_reader import read_json
from wizard.foreign.limits import Source
from wizard.journal.durable_io import make_folder, put
from wizard.learning.observation import LeftOut, Observation, WhyLeftOut
from wizard.learning.proved_faults import ProvedFaults
from wizard.learning.run_clock import RunSeconds

NAME = "observed.json"
"""The file's name in the home folder."""
LOCKS = ".lock"
Said = Observation | LeftOut


@dataclass(frozen=True, slots=True)
class Remembered:
    """What a session of a flow said, when its folder had this digest."""

    digest: str
    flow: str
    result: Said


@dataclass(frozen=True, slots=True)
class SessionMemory:
    """The memory in a file; what another version of the program (``program``) remembers is forgotten."""

    path: Path
    program: str

    def load(self) -> dict[str, Remembered]:
        """Return what is remembered, by place; nothing where the file can't be read."""
        try:
            table = read_json(read_file(self.path, Source.OBSERVED), Source.OBSERVED)
            if table["program"] != self.program:
                return {}
            return {str(place): _remembered(row) for place, row in table["sessions"].items()}
        except (OSError, ValueError, LookupError, TypeError, AttributeError):
            return {}

    def keep(self, some: Mapping[str, Remembered]) -> None:
        """Write the memory anew. A home that can't be written has none, which costs time and nothing else."""
        rows = {place: _row(one) for place, one in some.items()}
        text = json.dumps({"program": self.program, "sessions": rows}, ensure_ascii=True)
        try:
            make_folder(self.path.parent)
            put(self.path, text.encode("ascii"))
        except OSError:
            return


def digest_of(folder: Path) -> str:
    """Return the SHA-256 of the names and contents of all files in a session's folder but its locks; OSError."""
    whole = sha256()
    for path in sorted(p for p in folder.rglob("*") if p.is_file() and p.suffix != LOCKS):
        for part in (
            path.relative_to(folder).as_posix().encode("utf-8", "surrogateescape"),
            path.read_bytes(),
        ):
            whole.update(len(part).to_bytes(8, "big"))
            whole.update(part)
    return whole.hexdigest()


def _row(one: Remembered) -> dict[str, Any]:
    result, row = one.result, {"digest": one.digest, "flow": one.flow, "session": one.result.session}
    if isinstance(result, LeftOut):
        return {**row, "why": result.why.value, "says": result.says}
    faults = result.faults
    return {
        **row, "at": result.at, "facts": dict(result.facts), "evidence": dict(result.evidence),
        "either": dict(result.either), "minutes": [[run.inspection, run.seconds] for run in result.minutes],
        "faults": None if faults is None else [list(faults.certain), list(faults.doubtful)],
    }  # fmt: skip


def _remembered(row: Mapping[str, Any]) -> Remembered:
    """What a row holds. LookupError, ValueError, TypeError or AttributeError where it is none."""
    session = str(row["session"])
    result: Said
    if "why" in row:
        result = LeftOut(session, WhyLeftOut(row["why"]), str(row["says"]))
    else:
        faults = row["faults"]
        result = Observation(
            session, str(row["at"]), {str(f): str(v) for f, v in row["facts"].items()},
            None if faults is None else ProvedFaults(_names(faults[0]), _names(faults[1])),
            _evidence(row["evidence"]), _evidence(row["either"]),
            tuple(RunSeconds(str(i), float(s)) for i, s in row["minutes"]),
        )  # fmt: skip
    return Remembered(str(row["digest"]), str(row["flow"]), result)


def _names(some: Any) -> tuple[str, ...]:
    return tuple(str(name) for name in some)


def _evidence(some: Mapping[str, Any]) -> dict[str, float]:
    """Evidence by finding; ValueError where one is not from 0 to 1."""
    found = {str(finding): float(e) for finding, e in some.items()}
    if not all(0.0 <= e <= 1.0 for e in found.values()):
        raise ValueError("evidence is from 0 to 1")
    return found
