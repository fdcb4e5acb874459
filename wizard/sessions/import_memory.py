"""Which parcels came in already, by the SHA-256 of their bytes, so that a drop folder is not proved anew each time.

The file is only a memory: whatever is wrong with it, parcels are read once more and nothing else changes.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.journal.durable_io import make_folder, private
from wizard.journal.session_name import is_session

NAME = "imported.txt"
"""The file's name in the home folder: a line a parcel, its digest and the id of the session here."""

_LINE = re.compile(r"([0-9a-f]{64}) (\S+)")


@dataclass(frozen=True, slots=True)
class ImportMemory:
    """The memory in a file."""

    path: Path

    def load(self) -> dict[str, str]:
        """Return the session that each parcel became, by the parcel's digest; nothing where the file can't be read."""
        limits = SOURCE_LIMITS[Source.IMPORTED]
        try:
            lines = read_file(self.path, Source.IMPORTED).decode("ascii", "replace").splitlines()
        except (OSError, Unreadable):
            return {}
        short = (line for line in lines[-limits.values :] if len(line) <= limits.text)
        found = (_LINE.fullmatch(line) for line in short)
        return {f[1]: f[2] for f in found if f is not None and is_session(f[2])}

    def add(self, digest: str, session: str) -> None:
        """Write one line more. A home that can't be written has no memory, which costs time and nothing else."""
        try:
            make_folder(self.path.parent)
            with open(self.path, "ab", opener=private) as file:
                # After a write that was cut off a line of its own.
                start = b"" if not file.tell() or _ends_line(self.path) else b"\n"
                file.write(start + f"{digest} {session}\n".encode("ascii"))
        except OSError:
            return


def _ends_line(path: Path) -> bool:
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
