"""A parcel: one zip that holds a session. Written the same for the same content; read as if an enemy had packed
it.
"""

from __future__ import annotations

import io
import re
import stat
import tomllib
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import tomli_w

from wizard.documents.files.paper_names import PAPER
from wizard.errors import JournalError, UsageError
from wizard.flow.parsing.flow_files import belongs
from wizard.journal.attachments import FOLDER as ATTACHMENTS

MANIFEST = "parcel.toml"
SESSION = "session/"
FLOW = "flow/"
FORMAT = 1

MOST_FILES = 2_000
LARGEST_FILE = 100_000_000
LARGEST = 500_000_000
LARGEST_MANIFEST = 1_000_000

_OWN = re.compile(
    rf"journal\.toml|review\.toml|torn-\d{{1,6}}\.toml|{ATTACHMENTS}/[0-9a-f]{{16}}(\.[a-z0-9]{{1,8}})?"
)
_MADE = (1980, 1, 1, 0, 0, 0)
_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class Parcel:
    """A session as it travels: its id, flow digest and last chain value, and its files by their names in the zip."""

    session: str
    flow: str
    chain: str
    files: Mapping[str, bytes]

    def below(self, folder: str) -> dict[str, bytes]:
        """The files of SESSION or FLOW by their names there."""
        return {n.removeprefix(folder): d for n, d in self.files.items() if n.startswith(folder)}


def may_hold(name: str) -> bool:
    """True for what a parcel may hold: journal, review, papers, attachments, torn writes, the files of a flow."""
    if name.startswith(SESSION):
        own = name.removeprefix(SESSION)
        return bool(_OWN.fullmatch(own) or PAPER.fullmatch(own))
    part = name.removeprefix(FLOW)
    return (
        name.startswith(FLOW) and belongs(part) and bool(re.fullmatch(r"[\w./-]+", part)) and ".." not in part
    )


def pack(parcel: Parcel) -> bytes:
    """The zip's bytes: the same for the same content, whenever and wherever it is made.

    UsageError where it would be larger than what is taken in.
    """
    _refuse_large(parcel)
    head = {"format": FORMAT, "session": parcel.session, "flow": parcel.flow, "chain": parcel.chain}
    rows = [
        {"name": n, "size": len(d), "sha256": sha256(d).hexdigest()} for n, d in sorted(parcel.files.items())
    ]
    manifest = tomli_w.dumps({"parcel": head, "file": rows}).encode("utf-8")
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in ((MANIFEST, manifest), *sorted(parcel.files.items())):
            entry = zipfile.ZipInfo(name, _MADE)
            entry.create_system = 3
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            archive.writestr(entry, data, zipfile.ZIP_DEFLATED)
    return made.getvalue()


def _refuse_large(parcel: Parcel) -> None:
    large = next((name for name, data in parcel.files.items() if len(data) > LARGEST_FILE), "")
    says = f"Session {parcel.session} is too large to send:"
    if large:
        raise UsageError(f"{says} {large} has over {LARGEST_FILE // 1_000_000} MB.")
    if len(parcel.files) >= MOST_FILES or sum(map(len, parcel.files.values())) > LARGEST:
        raise UsageError(
            f"{says} at most {MOST_FILES} files and {LARGEST // 1_000_000} MB. Copy its folder instead."
        )


def unpack(data: bytes, name: str) -> Parcel:
    """The parcel in a zip's bytes. JournalError, naming the file, for whatever this program would not have packed."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = _entries(archive)
            files = _read(archive, entries)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as error:
        raise JournalError(
            f"{name}: this is no parcel of a session: {error}. Nothing was changed."
        ) from error
    except _Unfit as error:
        raise JournalError(f"{name}: {error} Nothing was changed.") from None
    try:
        return _checked(files)
    except _Unfit as error:
        raise JournalError(f"{name}: {error} Nothing was changed.") from None


class _Unfit(Exception):
    """What is wrong with a parcel, as a sentence."""


def _entries(archive: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """The entries, if each is a plain file that may be there, once, and all together are not too large."""
    entries = archive.infolist()
    if len(entries) > MOST_FILES:
        raise _Unfit(f"it holds {len(entries)} files; a session has at most {MOST_FILES}.")
    seen: set[str] = set()
    for entry in entries:
        if entry.filename != MANIFEST and not may_hold(entry.filename):
            raise _Unfit(f"it holds {entry.filename!r}, which is no part of a session.")
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG):
            raise _Unfit(f"{entry.filename} in it is a link or something else than a plain file.")
        if entry.flag_bits & 0x1:
            raise _Unfit(f"{entry.filename} in it is encrypted.")
        # Two names that differ by capitals are one file on many a disk.
        folded = entry.filename.casefold()
        if folded in seen:
            raise _Unfit(f"it holds {entry.filename} twice.")
        seen.add(folded)
    if sum(e.file_size for e in entries) > LARGEST:
        raise _Unfit(f"unpacked it would be over {LARGEST // 1_000_000} MB.")
    return entries


def _read(archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo]) -> dict[str, bytes]:
    """Every file's bytes. The sizes that a zip states are not believed: reading stops at what they allow."""
    found, left = {}, LARGEST
    for entry in entries:
        most = min(left, LARGEST_MANIFEST if entry.filename == MANIFEST else LARGEST_FILE)
        found[entry.filename] = _one(archive, entry, most)
        left -= len(found[entry.filename])
    return found


def _one(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes:
    parts, size = [], 0
    with archive.open(entry) as file:
        while chunk := file.read(_CHUNK):
            size += len(chunk)
            if size > most:
                raise _Unfit(f"{entry.filename} in it is too large: over {most // 1_000_000} MB unpacked.")
            parts.append(chunk)
    return b"".join(parts)


def _checked(files: dict[str, bytes]) -> Parcel:
    """The parcel, if the list of its files tells the truth about each."""
    head, rows = _manifest(files.pop(MANIFEST, None))
    listed = {}
    for row in rows:
        if (
            not isinstance(row, dict)
            or set(row) != {"name", "size", "sha256"}
            or not isinstance(row["name"], str)
        ):
            raise _Unfit(f"the list {MANIFEST} has a line that names no file, size and SHA-256.")
        listed[row["name"]] = row
    for name in sorted({*listed, *files}):
        if name not in files:
            raise _Unfit(f"{name} is on the list {MANIFEST}, but not in it.")
        if name not in listed:
            raise _Unfit(f"{name} is in it, but not on the list {MANIFEST}.")
        data, row = files[name], listed[name]
        if (len(data), sha256(data).hexdigest()) != (row["size"], row["sha256"]):
            raise _Unfit(f"{name} in it is not what the list {MANIFEST} says: its SHA-256 or size differs.")
    return Parcel(head["session"], head["flow"], head["chain"], files)


def _manifest(data: bytes | None) -> tuple[dict[str, str], list[Any]]:
    if data is None:
        raise _Unfit(f"it has no list {MANIFEST}, so it is no parcel of a session.")
    try:
        table = tomllib.loads(data.decode("utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as error:
        raise _Unfit(f"its list {MANIFEST} can't be read: {error}.") from None
    head, rows = table.get("parcel"), table.get("file")
    if not isinstance(head, dict) or not isinstance(rows, list) or head.get("format") != FORMAT:
        raise _Unfit(f"its list {MANIFEST} is not of format {FORMAT}. A newer program may read it.")
    if not all(isinstance(head.get(key), str) for key in ("session", "flow", "chain")):
        raise _Unfit(f"its list {MANIFEST} names no session, flow or chain value.")
    return head, rows
