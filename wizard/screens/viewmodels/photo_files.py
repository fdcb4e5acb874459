"""The photos in a folder, the newest first."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from wizard.errors import UsageError
from wizard.foreign.folder_entry import file_at

SUFFIXES = frozenset({".jpg", ".jpeg", ".png", ".heic", ".heif", ".webp", ".gif", ".bmp", ".tif", ".tiff"})
"""What counts as a photo, whatever its capitals."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo in a folder: when it was last written (seconds since 1970) and its bytes."""

    path: Path
    written: float
    size: int


def newest(folder: Path, most: int = 100) -> tuple[Photo, ...]:
    """The newest photos of a folder. UsageError in plain words if it can't be looked into."""
    try:
        with os.scandir(folder) as entries:
            pictures = [e for e in entries if Path(e.name).suffix.lower() in SUFFIXES]
            found = [
                Photo(Path(e.path), seen.st_mtime, seen.st_size)
                for e in pictures
                if (seen := file_at(e)) is not None
            ]
    except FileNotFoundError:
        raise UsageError(f"{folder}: there is no such folder. Look at its name.") from None
    except NotADirectoryError:
        raise UsageError(f"{folder}: this is a file. Name the folder that it is in.") from None
    except OSError as error:
        why = error.strerror or str(error)
        raise UsageError(f"{folder}: can't be looked into ({why}). Choose another folder.") from error
    return tuple(sorted(found, key=lambda p: (-p.written, p.path.name))[:most])
