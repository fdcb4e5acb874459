"""The file of a photo of a session, for a viewer of the system: what is a picture, and is what the journal holds."""

from __future__ import annotations

from pathlib import Path

from wizard.engine.messages.events import PhotoTaken
from wizard.errors import JournalError
from wizard.foreign.harmless import harmless
from wizard.journal import attachments

_HEAD = 32
_STARTS = {
    b"\xff\xd8": (".jpg", ".jpeg"),
    b"\x89PNG\r\n\x1a\n": (".png",),
    b"GIF8": (".gif",),
    b"RIFF": (".webp",),
}
_BOX, _BOXED = b"ftyp", (".heic", ".heif", ".avif")


def photo_file(folder: Path, event: PhotoTaken) -> Path:
    """The path of a photo in a session's folder. JournalError where it is gone, was altered since, or is no picture
    that its name says: a viewer opens a file by its name, and what came from elsewhere could be a program.
    """
    if trouble := attachments.check(folder, event.name, event.sha256):
        raise JournalError(trouble)
    path = folder / attachments.FOLDER / event.name
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except OSError as error:
        raise JournalError(
            f"{harmless(event.name)} can't be read ({error.strerror}), so it is not opened."
        ) from error
    if path.suffix not in _suffixes(head):
        raise JournalError(f"{harmless(event.name)} is no picture of its name's kind, so it is not opened.")
    return path


def _suffixes(head: bytes) -> tuple[str, ...]:
    """The endings that a picture may have that begins so."""
    if head[4:8] == _BOX:
        return _BOXED
    return next((ends for start, ends in _STARTS.items() if head.startswith(start)), ())
