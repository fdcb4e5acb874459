"""What lies in a folder that somebody else may have filled: one entry that can't be looked at hides no other."""

from __future__ import annotations

import os
import stat


def folder_at(entry: os.DirEntry[str]) -> bool:
    """Whether it is a folder, or a link to one; a link that leads nowhere, or round and round, is none."""
    try:
        return entry.is_dir()
    except OSError:
        return False


def file_at(entry: os.DirEntry[str]) -> os.stat_result | None:
    """What the system says of a plain file, or a link to one; None for all else."""
    try:
        found = entry.stat()
    except OSError:
        return None
    return found if stat.S_ISREG(found.st_mode) else None
