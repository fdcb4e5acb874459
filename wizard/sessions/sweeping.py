"""What a program that was ended in the middle left in a home: half-written names, and jobs that never began."""

from __future__ import annotations

import contextlib
import shutil
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from wizard.journal.attachments import FOLDER as ATTACHMENTS
from wizard.journal.durable_io import IMPORT, NEW, PRIVATE_FOLDER
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME
from wizard.journal.journal_writer import LOCK
from wizard.journal.sealed_block import CHAIN
from wizard.journal.session_name import is_session

HALF_WRITTEN = 3600.0
"""Seconds after which nobody writes to a name any more that is only there while something is written."""

NOT_BEGUN = 60.0
"""Seconds after which a session whose first event was never whole is none that somebody is beginning."""


def sweep(home: Home, now: float) -> tuple[Path, ...]:
    """Take away what was left half done; gives what was taken. ``now``: seconds since 1970.

    What can't be looked at or taken away stays, and is no reason not to begin: it harms nobody. Folders that an
    earlier version made for everybody's eyes are made private.
    """
    taken = []
    for folder in (home.sessions, home.kept):
        with contextlib.suppress(OSError):
            if folder.is_dir() and not folder.is_symlink():
                folder.chmod(PRIVATE_FOLDER)
    for path in _half_written(home):
        if _older(path, now - HALF_WRITTEN) and _removed(path):
            taken.append(path)
    for name in _entries(home.sessions):
        folder = home.sessions / name
        if is_session(name) and _older(folder, now - NOT_BEGUN) and never_began(folder) and _let_go(folder):
            taken.append(folder)
    return tuple(taken)


def _half_written(home: Home) -> Iterator[Path]:
    """Every path whose name says that it is being written."""
    folders = [home.root, home.sessions, home.kept]
    for name in _entries(home.sessions):
        if is_session(name):
            folders += [home.sessions / name, home.sessions / name / ATTACHMENTS]
    for folder in folders:
        for name in _entries(folder):
            if name.startswith((NEW, IMPORT)):
                yield folder / name


def _entries(folder: Path) -> list[str]:
    """The names in a folder; none where it isn't there, can't be looked into, or is a link."""
    try:
        return [] if folder.is_symlink() else sorted(p.name for p in folder.iterdir())
    except OSError:
        return []


def _older(path: Path, moment: float) -> bool:
    try:
        return path.lstat().st_mtime < moment
    except OSError:
        return False


def _removed(path: Path) -> bool:
    try:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()
    except OSError:
        return False
    return True


def never_began(folder: Path) -> bool:
    """Whether a session's folder holds nothing but a journal without one whole event."""
    if not set(_entries(folder)) <= {NAME, LOCK} or folder.is_symlink():
        return False
    try:
        return CHAIN not in (folder / NAME).read_bytes()
    except FileNotFoundError:
        return True
    except OSError:
        return False


def _let_go(folder: Path) -> bool:
    """Remove such a folder, unless somebody holds its lock."""
    lock = FileLock(folder / LOCK, timeout=0)
    try:
        with lock:
            if not never_began(folder):
                return False
            (folder / NAME).unlink(missing_ok=True)
    except (Timeout, OSError, NotImplementedError):
        return False
    return _removed(folder)
