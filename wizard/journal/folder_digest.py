"""The digest of all that a session's folder holds, by which it is known that no byte of it changed."""

from __future__ import annotations

import os
from hashlib import file_digest, sha256
from pathlib import Path

from wizard.errors import SteadfootError
from wizard.journal.home_folder import Home

LOCKS = ".lock"
"""What files end with that say nothing of a session."""


def digest_of(folder: Path) -> str:
    """Return the SHA-256 of the names and contents of all files in a session's folder but its locks; OSError. A link is
    told by where it leads, and not followed.
    """
    whole = sha256()
    for path in sorted(p for p in folder.rglob("*") if (p.is_file() or p.is_symlink()) and p.suffix != LOCKS):
        name = path.relative_to(folder).as_posix()
        link = path.is_symlink()
        for part in (
            (f"link {name}" if link else name).encode("utf-8", "surrogateescape"),
            os.fsencode(path.readlink()) if link else _content(path),
        ):
            whole.update(len(part).to_bytes(8, "big"))
            whole.update(part)
    return whole.hexdigest()


def _content(path: Path) -> bytes:
    """The digest of a file, which is never in memory whole."""
    with path.open("rb") as file:
        return file_digest(file, "sha256").digest()


def session_digest(home: Home, session: str) -> str:
    """The digest of a session's folder; empty where it can't be read, which its reading will say."""
    try:
        return digest_of(home.session_folder(session))
    except (OSError, SteadfootError):
        return ""
