"""What earlier runs found, a line a mutant, so that a run that was broken off goes on where it was."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from threading import Lock

FOLDER = Path(".mutation")


@dataclass(frozen=True)
class Result:
    """How a mutant fared: ``killed``, by which test first, in which seconds."""

    name: str
    digest: str
    killed: bool
    by: str
    seconds: float


class Kept:
    """The results of a group; each holds as long as the module is the same."""

    def __init__(self, group: str, fresh: bool) -> None:
        self._file = FOLDER / f"{group}.jsonl"
        self._lock = Lock()
        self.results: dict[str, Result] = {}
        FOLDER.mkdir(exist_ok=True)
        if fresh:
            self._file.unlink(missing_ok=True)
        if self._file.exists():
            for line in self._file.read_text(encoding="utf-8").splitlines():
                result = Result(**json.loads(line))
                self.results[result.name] = result

    def add(self, result: Result) -> None:
        """Keep a result, on the disk first."""
        with self._lock:
            with self._file.open("a", encoding="utf-8") as file:
                file.write(json.dumps(asdict(result)) + "\n")
            self.results[result.name] = result

    def holds(self, name: str, digest: str) -> Result | None:
        """The result for a mutant of a module with this digest."""
        found = self.results.get(name)
        return found if found is not None and found.digest == digest else None


def digest(source: str) -> str:
    """What tells one text of a module from another."""
    return hashlib.sha256(source.encode("utf-8")).hexdigest()[:16]
