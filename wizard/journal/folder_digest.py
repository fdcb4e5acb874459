"""The digest of all that a session's folder holds, by which it is known that no byte of it changed."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

LOCKS = ".lock"
"""What files end with that say nothing of a session."""


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
