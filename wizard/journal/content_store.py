"""Folders of files kept once, under the digest of what they hold."""

from __future__ import annotations

import itertools
import os
import re
import shutil
from collections.abc import Callable, Mapping
from hashlib import sha256
from pathlib import Path

from wizard.errors import JournalError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source, Unreadable
from wizard.foreign.portable_name import misnamed
from wizard.journal.durable_io import NEW, lost, make_folder, sync_folder, write_new

Hashed = Callable[[Mapping[str, bytes]], str]

MOST_FILES = 1_000
"""The most files that a kept folder is looked through for."""

_DIGEST = re.compile(r"[0-9a-f]{64}")


def digest(files: Mapping[str, bytes]) -> str:
    """The SHA-256, in hex, of sorted names and contents, each after its length in 8 bytes, big end first."""
    whole = sha256()
    for name in sorted(files):
        for part in (name.encode("utf-8"), files[name]):
            whole.update(len(part).to_bytes(8, "big"))
            whole.update(part)
    return whole.hexdigest()


def keep_folder(parent: Path, name: str, files: Mapping[str, bytes], hashed: Hashed) -> Path:
    """Write a folder of files under its digest, all or nothing; what is there and whole is left alone.

    ValueError if a name leads out of the folder; JournalLost if the disk refuses.
    """
    target = parent / _named(name)
    for file in files:
        _refuse_escape(file)
    try:
        if target.is_dir():
            if _whole(target, name, hashed):
                return target
            _set_aside(target)
        make_folder(parent)
        _write_whole(target, files)
    except OSError as error:
        raise lost("keep the flow in", target, error) from error
    return target


def kept_folder(parent: Path, name: str, hashed: Hashed) -> dict[str, bytes]:
    """The files of a folder kept under a digest. JournalError if it is not here or was altered."""
    folder = parent / _named(name)
    if not folder.is_dir():
        raise JournalError(
            f"{folder}: the flow that this session used is not kept here. Copy it from where it was."
        )
    try:
        files = files_below(folder)
    except Unreadable as problem:
        raise JournalError(
            f"{folder}: can't be read: {problem}. Restore the folder from a copy."
        ) from problem
    except OSError as error:
        why = error.strerror or str(error)
        raise JournalError(f"{folder}: can't be read ({why}). Look at its permissions.") from error
    if hashed(files) != name:
        raise JournalError(f"{folder}: the kept flow was altered. Restore the folder from a copy.")
    return files


def _named(name: str) -> str:
    """A digest that is fit to be a folder's name."""
    if not _DIGEST.fullmatch(name):
        raise JournalError(f"{name!r} is no digest of a flow: it has 64 hex digits. Verify the session.")
    return name


def _refuse_escape(name: str) -> None:
    """ValueError unless a name stays inside its folder, on every platform."""
    if why := misnamed(name):
        raise ValueError(f"files: the name {name!r} leads out of its folder or can't be a file's name: {why}")


def files_below(folder: Path) -> dict[str, bytes]:
    """Name to content of all files below a folder. OSError if one can't be read, Unreadable if it is beyond limits."""
    found = sorted(path for path in itertools.islice(folder.rglob("*"), MOST_FILES + 1) if path.is_file())
    if len(found) > MOST_FILES:
        raise Unreadable(f"it holds more than {MOST_FILES} files")
    return {path.relative_to(folder).as_posix(): read_file(path, Source.FLOW_FILE) for path in found}


def _whole(folder: Path, name: str, hashed: Hashed) -> bool:
    """Whether a kept folder is as it was kept."""
    try:
        return hashed(files_below(folder)) == name
    except Unreadable:
        return False


def _write_whole(target: Path, files: Mapping[str, bytes]) -> None:
    """Write a folder beside its place, durably, then put it there in one step."""
    made = target.with_name(f"{NEW}{os.getpid()}-{target.name[:16]}")
    shutil.rmtree(made, ignore_errors=True)
    try:
        make_folder(made)
        for name, content in files.items():
            path = made / name
            make_folder(path.parent)
            write_new(path, content)
        sync_folder(made)
        made.rename(target)
    except OSError:
        # Another program may have kept the same flow in the meantime; that one is as good.
        if not target.is_dir():
            raise
    finally:
        shutil.rmtree(made, ignore_errors=True)
    sync_folder(target.parent)


def _set_aside(folder: Path) -> None:
    """Move an altered folder out of the way, kept under the first free name."""
    number = 1
    while os.path.lexists(aside := folder.with_name(f"{folder.name}-altered-{number}")):
        number += 1
    folder.rename(aside)
