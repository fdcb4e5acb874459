"""The files of a zip that an enemy may have packed: a closed list of names, sizes counted and not believed."""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import BinaryIO

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


_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError)


class ZipFiles(Mapping[str, bytes]):
    """The files of a zip by their names, each unpacked when it is asked for: one at a time is in memory.

    Unreadable, as a sentence without its full stop, for what isn't taken. The sizes that a zip states are not believed:
    reading stops at what is allowed.
    """

    def __init__(
        self, archive: zipfile.ZipFile, entries: Iterable[zipfile.ZipInfo], limits: ZipLimits
    ) -> None:
        self._archive, self._limits = archive, limits
        self._entries = {entry.filename: entry for entry in entries}
        self._sizes: dict[str, int] = {}

    def __getitem__(self, name: str) -> bytes:
        entry = self._entries[name]
        left = self._limits.all - sum(size for other, size in self._sizes.items() if other != name)
        try:
            data = _one(self._archive, entry, min(left, self._limits.one(name)))
        except Unreadable:
            raise
        except _BROKEN as error:
            raise _no_parcel(error) from error
        except OSError as error:
            raise _unread(error) from error
        self._sizes[name] = len(data)
        return data

    def __contains__(self, name: object) -> bool:
        return name in self._entries

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)


def unzip(data: bytes | BinaryIO, may_hold: Callable[[str], bool], limits: ZipLimits) -> ZipFiles:
    """The files of a zip, of its bytes or of a file that is open for as long as they are asked for. Unreadable, as a
    sentence without its full stop, for what isn't taken.
    """
    file = io.BytesIO(data) if isinstance(data, bytes) else data
    try:
        _listed(file, limits)
        archive = zipfile.ZipFile(file)
        return ZipFiles(archive, _entries(archive, may_hold, limits), limits)
    except Unreadable:
        raise
    except _BROKEN as error:
        raise _no_parcel(error) from error
    except OSError as error:
        raise _unread(error) from error


def _unread(error: OSError) -> Unreadable:
    """Of a medium that was pulled, or a share that went away, while the file was read."""
    return Unreadable(f"it can't be read any more ({harmless(error.strerror or str(error))})")


def _no_parcel(error: Exception) -> Unreadable:
    return Unreadable(f"this is no parcel of a session: {harmless(str(error))}")


def _listed(file: BinaryIO, limits: ZipLimits) -> None:
    """Unreadable for a zip whose own list, which is read before anything in it is looked at, is too long."""
    file.seek(max(0, file.seek(0, io.SEEK_END) - _END_SIZE - _COMMENT - _END_64_SIZE))
    data = file.read()
    at = len(data) - _END_SIZE
    if not (at >= 0 and data[at : at + 4] == _END and data[-2:] == b"\0\0"):
        at = data.rfind(_END, max(0, len(data) - _END_SIZE - _COMMENT))
    if at < 0:
        return
    if data[max(0, at - _END_64_SIZE) : max(0, at - _END_64_SIZE + 4)] == _END_64:
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
