"""The flows that passed the check, by digest, so that a job begins without checking them again.

HOME/checked.json is only a memory: whatever is wrong with it, flows are checked once more and nothing else changes.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from wizard import VERSION
from wizard.foreign.file_reader import read_file
from wizard.foreign.json_reader import read_json
from wizard.foreign.limits import Source
from wizard.journal.durable_io import make_folder, put

NAME = "checked.json"
MOST = 200
"""The most digests kept, the newest of them."""


def in_tree() -> bool:
    """True where the program runs from its working tree: checks change there while the version stays."""
    from wizard.flow.flow_places import IN_WHEEL

    return not (Path(__file__).parent.parent / IN_WHEEL).is_dir()


@dataclass(frozen=True, slots=True)
class CheckedFlows:
    """The memory of one home folder. Another version of the program has other checks, so it starts anew."""

    home: Path

    def __call__(self, digest: str) -> bool:
        """True when the flow with this digest passed the check of this version."""
        return not in_tree() and digest in self._read()

    def remember(self, digest: str) -> None:
        """Note that a flow passed. A home that can't be written has no memory, which costs time and nothing else."""
        known = self._read()
        if in_tree() or digest in known:
            return
        text = json.dumps({"program": VERSION, "sound": [*known, digest][-MOST:]}, indent=1)
        try:
            make_folder(self.home)
            put(self.home / NAME, text.encode("utf-8"))
        except OSError:
            return

    def _read(self) -> list[str]:
        try:
            table = read_json(read_file(self.home / NAME, Source.CHECKED), Source.CHECKED)
        except (OSError, ValueError):
            return []
        sound = table.get("sound") if isinstance(table, dict) and table.get("program") == VERSION else None
        return [d for d in sound if isinstance(d, str)] if isinstance(sound, list) else []
