"""The files of a zip that an enemy may have packed: a closed list of names, sizes counted and not believed."""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import dataclass

from wizard.foreign.harmless import harmless
from wizard.foreign.limits import Unreadable

_CHUNK = 1 << 20
_END, _END_SIZE, _COMMENT = b"PK\x05\x06", 22, 1 << 16
_END_64, _END_64_SIZE = b"PK\x06\x07", 20
_ENTRY = 700
"""Bytes that an entry of a zip's own list may take, on the average: its name twice and what is fixed."""


@dataclass(frozen=True, slots=True)
class ZipLimits:
    """The most that a zip may hold: ``files``; bytes unpacked in ``all`` together; bytes of a file by its name."""

    files: int
    all: int
    one: Callable[[str], int]


def unzip(data: bytes, may_hold: Callable[[str], bool], limits: ZipLimits) -> dict[str, bytes]:
    """Every file's bytes by its name. Unreadable, as a sentence without its full stop, for what isn't taken."""
    _listed(data, limits)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _read(archive, _entries(archive, may_hold, limits), limits)
    except Unreadable:
        raise
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as error:
        raise Unreadable(f"this is no parcel of a session: {harmless(str(error))}") from error


def _listed(data: bytes, limits: ZipLimits) -> None:
    """Unreadable for a zip whose own list, which is read before anything in it is looked at, is too long."""
    at = len(data) - _END_SIZE
    if not (data[at : at + 4] == _END and data[-2:] == b"\0\0"):
        at = data.rfind(_END, max(0, len(data) - _END_SIZE - _COMMENT))
    if at < 0:
        return
    if data[at - _END_64_SIZE : at - _END_64_SIZE + 4] == _END_64:
        raise Unreadable(f"it is packed for more files than the {limits.files} that a session may have")
    if int.from_bytes(data[at + 12 : at + 16], "little") > (limits.files + 1) * _ENTRY:
        raise Unreadable(f"its list of files is longer than that of {limits.files}")


def _entries(
    archive: zipfile.ZipFile, may_hold: Callable[[str], bool], limits: ZipLimits
) -> list[zipfile.ZipInfo]:
    """The entries, if each is a plain file that may be there, once, and all together are not too large."""
    entries = archive.infolist()
    if len(entries) > limits.files:
        raise Unreadable(f"it holds {len(entries)} files; a session has at most {limits.files}")
    seen: set[str] = set()
    for entry in entries:
        name = harmless(entry.filename)
        if not may_hold(entry.filename):
            raise Unreadable(f'it holds "{name}", which is no part of a session')
        if stat.S_IFMT(entry.external_attr >> 16) not in (0, stat.S_IFREG):
            raise Unreadable(f"{name} in it is a link or something else than a plain file")
        if entry.flag_bits & 0x1:
            raise Unreadable(f"{name} in it is encrypted")
        # Two names that differ by capitals are one file on many a disk.
        folded = entry.filename.casefold()
        if folded in seen:
            raise Unreadable(f"it holds {name} twice")
        seen.add(folded)
    if sum(e.file_size for e in entries) > limits.all:
        raise Unreadable(f"unpacked it would be over {limits.all // 1_000_000} MB")
    return entries


def _read(archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo], limits: ZipLimits) -> dict[str, bytes]:
    """Every file's bytes. The sizes that a zip states are not believed: reading stops at what they allow."""
    found, left = {}, limits.all
    for entry in entries:
        found[entry.filename] = _one(archive, entry, min(left, limits.one(entry.filename)))
        left -= len(found[entry.filename])
    return found


def _one(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes:
    parts, size = [], 0
    with archive.open(entry) as file:
        while chunk := file.read(_CHUNK):
            size += len(chunk)
            if size > most:
                raise Unreadable(
                    f"{harmless(entry.filename)} in it is too large: over {most // 1_000_000} MB unpacked"
                )
            parts.append(chunk)
    return b"".join(parts)
