"""Which sessions there are and whether their files changed, without reading one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from hashlib import blake2b
from pathlib import Path

from wizard.journal import attachments
from wizard.journal.home_folder import Home

LOCKS = ".lock"


def fingerprints(home: Home) -> dict[str, str]:
    """A fingerprint for each session, which changes with the name, size or time of any of its files but locks.

    A file that is altered and keeps both its size and its time is not seen here: verifying reads the bytes. JournalLost
    if the home can't be looked through.
    """
    return {name: fingerprint_of(home.sessions / name) for name in home.list_ids()}


def fingerprint_of(folder: Path) -> str:
    """The fingerprint of one session's folder; empty where it can't be looked into."""
    whole = blake2b(digest_size=12)
    try:
        for name, size, changed in sorted((*_files(folder), *_files(folder / attachments.FOLDER))):
            whole.update(f"{name}\0{size}\0{changed}\0".encode("utf-8", "surrogateescape"))
    except OSError:
        return ""
    return whole.hexdigest()


def _files(folder: Path) -> Iterator[tuple[str, int, int]]:
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                if not entry.name.endswith(LOCKS) and not entry.is_dir(follow_symlinks=False):
                    found = entry.stat(follow_symlinks=False)
                    yield entry.name, found.st_size, found.st_mtime_ns
    except FileNotFoundError:
        return
