"""Photos and recordings kept beside a journal, under names made of their content."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from wizard.errors import JournalError, UsageError
from wizard.foreign.file_reader import read_file, size_words
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable
from wizard.journal.durable_io import make_folder, place_new, refusal

FOLDER = "attachments"
"""Where a session's folder keeps them."""

_NAME = re.compile(r"[0-9a-f]{16}(\.[a-z0-9]{1,8})?")


@dataclass(frozen=True, slots=True)
class Attachment:
    """A kept file: its name in the attachments folder, the SHA-256 of its content in hex, and its bytes."""

    name: str
    sha256: str
    size: int


def keep(folder: Path, source: Path) -> Attachment:
    """Copy a file into a session's attachments, durably; keeping it twice keeps one copy.

    UsageError if there is no such file, it can't be read, is no plain file or has more than 50 MB;
    JournalError if the copy that is already there was altered. Where the disk refuses the copy, UsageError too: the
    journal is whole, and the job goes on without it.
    """
    data = _content(source)
    digest = sha256(data).hexdigest()
    suffix = "." + re.sub(r"[^a-z0-9]", "", source.suffix.lower())[:8]
    name = digest[:16] + suffix.rstrip(".")
    target = folder / FOLDER / name
    try:
        make_folder(target.parent)
        place_new(target, data)
    except FileExistsError:
        if (problem := check(folder, name, digest)) is not None:
            raise JournalError(f"{problem} Move that file away, then attach {source} again.") from None
    except OSError as error:
        why, remedy = refusal(error)
        raise UsageError(
            f"{harmless(str(source))} was not kept: {why}. The job goes on without it. {remedy}, then attach it again."
        ) from error
    return Attachment(name, digest, len(data))


def drop(folder: Path, name: str) -> None:
    """Take an attachment away that no event names. What the disk doesn't let go stays, as a file that nothing names."""
    if _NAME.fullmatch(name):
        with suppress(OSError):
            (folder / FOLDER / name).unlink(missing_ok=True)


def too_large(source: Path) -> bool:
    """True for a file that is larger than an attachment may be; False for one that can't be looked at."""
    try:
        return source.stat().st_size > SOURCE_LIMITS[Source.ATTACHMENT].size
    except OSError:
        return False


def check(folder: Path, name: str, digest: str) -> str | None:
    """What is wrong with an attachment of a session, as a sentence, or None if it is as it was kept.

    ``digest`` is the SHA-256 that the journal holds.
    """
    path = folder / FOLDER / name
    if not _NAME.fullmatch(name):
        return f"{name!r} is no name that an attachment has."
    if path.is_symlink():
        return f"{path}: this is a link to another file, not the attachment."
    try:
        data = _content(path)
    except UsageError as error:
        return str(error)
    if sha256(data).hexdigest() != digest:
        return f"{path}: it was altered; its SHA-256 is not the one that the journal holds."
    return None


def _content(path: Path) -> bytes:
    """The bytes of a plain file that is not too large, or UsageError."""
    where = harmless(str(path))
    try:
        return read_file(path, Source.ATTACHMENT)
    except IsADirectoryError:
        raise UsageError(f"{where}: this is a folder. Name a file in it.") from None
    except FileNotFoundError:
        raise UsageError(f"{where}: there is no such file. Look at the name.") from None
    except OSError as error:
        why = error.strerror or str(error)
        raise UsageError(f"{where}: can't be read ({why}). Look at its permissions.") from error
    except TooLarge:
        most = size_words(SOURCE_LIMITS[Source.ATTACHMENT].size)
        raise UsageError(f"{where}: more than {most}. Make it smaller, then attach it again.") from None
    except Unreadable:
        raise UsageError(f"{where}: this is no plain file. Name a photo or a recording.") from None
