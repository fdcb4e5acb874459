"""Bytes made durable, and what to say when the disk refuses."""

from __future__ import annotations

import errno
import os
import stat
import sys
from pathlib import Path

from wizard.errors import JournalError, JournalLost
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source, Unreadable

PRIVATE_FOLDER, PRIVATE_FILE = 0o700, 0o600
_AS_IT_IS = getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
NEW, IMPORT = ".new-", ".import-"
"""How the names begin under which something is written before it is put in its place. The process's number follows."""

FULL = frozenset({errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)})
"""What a disk without room says."""

_REASONS = {
    errno.ENOSPC: ("the disk is full", "Free some space"),
    errno.EROFS: ("the disk is read-only", "Make it writable, or choose another home folder with --home"),
    errno.EACCES: (
        "this user may not write there",
        "Change the permissions, or choose another home with --home",
    ),
    errno.EPERM: (
        "this user may not write there",
        "Change the permissions, or choose another home with --home",
    ),
    errno.EFBIG: ("the file would be larger than is allowed", "Raise the limit on the size of files"),
    errno.EIO: ("the disk failed", "Copy the folder to another disk"),
}
_NO_LOCK = (
    "no lock is to be had there: a network share may give none",
    "Choose a home on a disk of this computer with --home",
)
_REASONS |= dict.fromkeys((errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP), _NO_LOCK)
if hasattr(errno, "EDQUOT"):
    _REASONS[errno.EDQUOT] = ("the quota of this user is used up", "Free some space")


def refusal(error: OSError) -> tuple[str, str]:
    """Why the disk refused, and what to do about it."""
    return _REASONS.get(error.errno or 0, (error.strerror or str(error), "Look at the disk"))


def lost(doing: str, path: Path, error: OSError) -> JournalLost:
    """A JournalLost that says what failed, where, why and how to fix it."""
    why, remedy = refusal(error)
    return JournalLost(f"Could not {doing} {path}: {why}. {remedy}, then open the session again.")


def load(path: Path, source: Source = Source.JOURNAL) -> bytes:
    """All bytes of a file within the limits of its kind, or JournalError with what is wrong with it."""
    try:
        return read_file(path, source)
    except Unreadable as problem:
        raise JournalError(f"{path}: can't be read: {problem}. Restore it from a copy.") from problem
    except FileNotFoundError:
        raise JournalError(f"{path}: there is no such file. Look whether the session was moved.") from None
    except OSError as error:
        if path.is_dir():
            raise JournalError(f"{path}: this is a folder, not a file. Name the file in it.") from None
        why = error.strerror or str(error)
        raise JournalError(
            f"{path}: can't be read ({why}). Look at its permissions and at the disk."
        ) from error


def sync(descriptor: int) -> None:
    """Have the disk hold all that was written to a descriptor. OSError if it can't."""
    if sys.platform == "darwin":
        # There fsync hands the bytes to the drive only, which may keep them in its own memory.
        import fcntl

        try:
            fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
            return
        except OSError as error:
            if error.errno not in (errno.ENOTSUP, errno.EINVAL, errno.ENOTTY):
                raise
    os.fsync(descriptor)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable if that can be done: Windows opens no folder, some disks refuse."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EBADF):
            raise
    finally:
        os.close(descriptor)


def make_folder(folder: Path) -> None:
    """Make a folder that is not there yet, and those above it, durably, for this user's eyes alone. OSError if it can't
    be.

    Windows gives a folder the rights of the one that it lies in: a user's data folder is that user's there.
    """
    missing = []
    while not folder.is_dir():
        missing.append(folder)
        if folder == folder.parent:
            break
        folder = folder.parent
    for one in reversed(missing):
        one.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)
        one.chmod(PRIVATE_FOLDER)  # whatever the umask took away
        sync_folder(one.parent)  # else what is written in it is on the disk, and its name isn't


def private(path: str, flags: int) -> int:
    """An opener for ``open``: a file that is made is for this user's eyes alone, whatever the umask. OSError for what
    is no plain file; nobody is waited for at the other end of a pipe.
    """
    descriptor = os.open(path, flags | _AS_IT_IS, PRIVATE_FILE)
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise OSError(errno.EINVAL, "it is no plain file", path)
    if os.name != "nt" and flags & os.O_CREAT and not os.fstat(descriptor).st_size:
        os.fchmod(descriptor, PRIVATE_FILE)
    return descriptor


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, durably, or not at all; for this user's eyes alone.

    FileExistsError if it is there; OSError if the disk refuses.
    """
    with open(path, "xb", buffering=0, opener=private) as file:
        try:
            write_all(file.fileno(), data)
            sync(file.fileno())
        except BaseException:
            file.close()
            path.unlink(missing_ok=True)
            raise
    sync_folder(path.parent)


def place_new(path: Path, data: bytes) -> None:
    """Have a file appear whole or not at all, even if the power fails. FileExistsError if it is there."""
    if path.exists():
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
    put(path, data)


def put(path: Path, data: bytes) -> None:
    """Put a file in place durably, over an earlier one, whole or not at all. OSError if the disk refuses."""
    made = path.with_name(f"{NEW}{os.getpid()}-{path.name}")
    try:
        made.unlink(missing_ok=True)
        write_new(made, data)
        made.replace(path)
    except OSError:
        made.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def write_all(descriptor: int, data: bytes) -> None:
    """Write every byte: a nearly full disk may take a part only, and says so at the next call."""
    view = memoryview(data)
    while view:
        view = view[os.write(descriptor, view) :]
