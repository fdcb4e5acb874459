"""A second copy of a journal on another medium: each event is appended there too, and what is missing is caught up.

The copy is only ever added to, and only where all that stands in it is what the journal begins with. A medium that is
gone, full or read-only stops nothing.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import BinaryIO

from wizard.journal.durable_io import PRIVATE_FILE, make_folder, refusal, sync, write_all
from wizard.journal.journal_reader import NAME

_PLAIN = getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
"""How it is opened: bytes, no link, and no waiting for whoever is at the other end of a pipe."""

_PIECE = 1_000_000


class SecondCopy:
    """The copy of one session's journal. ``medium``: the folder on the other medium; where it isn't there, the medium
    counts as gone, and no folder is made in its place.
    """

    def __init__(self, medium: Path, journal: Path) -> None:
        self._medium, self._journal = medium, journal
        self._path = medium / journal.parent.name / NAME
        self._size = -1
        self._gone = self._foreign = False

    @property
    def medium(self) -> Path:
        """The folder on the other medium."""
        return self._medium

    def follow(self, upto: int) -> str:
        """Bring the copy up to the first ``upto`` bytes of the journal, those that stand for good; a sentence where
        that is other than before: it can't be written, holds something else, or is there again. Nothing is raised.
        """
        if self._foreign:
            return ""
        try:
            fits = self._follow(upto)
        except OSError as error:
            self._size, again, self._gone = -1, self._gone, True
            why = refusal(error)[0]
            text = (
                f"The second copy in {self._medium} can't be written: {why}. The job goes on without it, and the copy "
                "is caught up once that is back."
            )
            return "" if again else text
        if not fits:
            self._foreign = True
            return (
                f"The second copy {self._path} holds something else than this session, and is not touched. "
                "No second copy is kept until that file is moved away and the session is opened again."
            )
        back, self._gone = self._gone, False
        return f"The second copy in {self._medium} is there again, and caught up." if back else ""

    def _follow(self, upto: int) -> bool:
        """Append what is missing; False where what stands there is not what the journal begins with."""
        if not self._medium.is_dir():
            raise FileNotFoundError(2, "the medium is gone")
        if self._path.parent.is_symlink() or self._path.is_symlink():
            return False
        make_folder(self._path.parent)
        descriptor = os.open(self._path, os.O_RDWR | os.O_CREAT | _PLAIN, PRIVATE_FILE)
        try:
            now = os.fstat(descriptor)
            size = now.st_size
            # Bytes beyond what stands for good of the journal are none of its: nothing of such a file is read.
            if not stat.S_ISREG(now.st_mode) or size > upto:
                return False
            with self._journal.open("rb") as journal:
                if size != self._size and not _begins(descriptor, journal, size):
                    return False
                journal.seek(size)
                missing = journal.read(max(0, upto - size))
            os.lseek(descriptor, size, os.SEEK_SET)
            write_all(descriptor, missing)
            sync(descriptor)
        finally:
            os.close(descriptor)
        self._size = size + len(missing)
        return True


def _begins(descriptor: int, journal: BinaryIO, size: int) -> bool:
    """Whether the first bytes of the copy, all that it has, are those of the journal: a piece at a time."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    left = size
    while left:
        theirs = os.read(descriptor, min(_PIECE, left))
        if not theirs or journal.read(len(theirs)) != theirs:
            return False
        left -= len(theirs)
    return True
