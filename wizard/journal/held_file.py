"""A file that one program at a time changes: a lock beside it, and words for what keeps it from being written."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from wizard.errors import JournalBusy
from wizard.journal.durable_io import PRIVATE_FILE, lost

WAIT = 5.0
"""Seconds that another program may take."""


@contextmanager
def held(path: Path, doing: str) -> Iterator[None]:
    """Nobody else changes a file meanwhile. ``doing``: what is done to it, as in 'write the review'.

    JournalBusy where another program is at it; JournalLost if the disk refuses, or gives no locks.
    """
    try:
        with FileLock(path.with_suffix(".lock"), timeout=WAIT, mode=PRIVATE_FILE):
            yield
    except Timeout:
        raise JournalBusy(f"{path}: another program is writing it. Try again in a moment.") from None
    except OSError as error:
        raise lost(doing, path, error) from error
    except NotImplementedError as error:  # filelock's word for a disk that gives no locks
        raise lost(doing, path, OSError(errno.ENOSYS, str(error))) from error
