"""The bytes of a foreign file: a plain one, of no more than it may have."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import BinaryIO

from wizard.errors import UsageError
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import MB, SOURCE_LIMITS, Source, TooLarge, Unreadable


def read_file(path: Path, source: Source) -> bytes:
    """All bytes of a file. OSError if it can't be read; Unreadable if it is no plain file; TooLarge."""
    most = SOURCE_LIMITS[source].size
    with open_file(path, source) as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise _too_large(source)
    return data


def open_file(path: Path, source: Source) -> BinaryIO:
    """A file opened, to be read a piece at a time. The errors of ``read_file``; what it grows by later is not seen."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            if path.is_dir():
                raise IsADirectoryError(21, "it is a folder", str(path))
            # A pipe or a device would keep whoever reads it waiting for ever.
            raise Unreadable("it is no plain file")
        file = path.open("rb")
    except (ValueError, RuntimeError) as error:
        if isinstance(error, Unreadable):
            raise
        raise Unreadable("no file can have that name") from error
    if os.fstat(file.fileno()).st_size > SOURCE_LIMITS[source].size:
        file.close()
        raise _too_large(source)
    return file


def _too_large(source: Source) -> TooLarge:
    return TooLarge(f"it has over {size_words(SOURCE_LIMITS[source].size)}: too large for a {source}")


def size_words(size: int) -> str:
    """'2.4 MB', '4 MB', '310 kB'; 1 kB at least."""
    return f"{size / MB:.1f} MB".replace(".0 ", " ") if size >= MB else f"{max(1, size // 1000)} kB"


def typed_path(text: str) -> Path:
    """The path that somebody typed, with ``~`` for a home. UsageError if it can be none on any machine."""
    if "\0" in text:
        raise UsageError(f"{harmless(text)}: no file's name holds such a character. Type it again.")
    try:
        return Path(text).expanduser()
    except RuntimeError:
        user = harmless(text.split("/")[0])
        raise UsageError(f"{user}: this computer has no such user. Write the whole path instead.") from None
