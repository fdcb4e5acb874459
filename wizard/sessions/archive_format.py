"""A parcel: one zip that holds a session. Written the same for the same content; read as if an enemy had packed
it.
"""

from __future__ import annotations

import io
import re
import stat
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, BinaryIO

import tomli_w

from wizard.documents.files.paper_names import PAPER
from wizard.errors import JournalError, UsageError
from wizard.flow.parsing.flow_files import belongs
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import LARGEST_IN_PARCEL, SOURCE_LIMITS, Source, Unreadable
from wizard.foreign.portable_name import misnamed
from wizard.foreign.toml_reader import read_toml
from wizard.foreign.zip_reader import ZipLimits, unzip
from wizard.journal.attachments import FOLDER as ATTACHMENTS

MANIFEST = "parcel.toml"
SESSION = "session/"
FLOW = "flow/"
FORMAT = 1

MOST_FILES = SOURCE_LIMITS[Source.PARCEL].values
LARGEST_FILE = LARGEST_IN_PARCEL
LARGEST = SOURCE_LIMITS[Source.PARCEL].size

_OWN = re.compile(
    r"journal\.toml|review\.toml|judged-flags\.toml|signature\.toml|torn-\d{1,6}\.toml|"
    rf"{ATTACHMENTS}/[0-9a-f]{{16}}(\.[a-z0-9]{{1,8}})?"
)
_MADE = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Parcel:
    """A session as it travels: its id, flow digest and last chain value, and its files by their names in the zip."""

    session: str
    flow: str
    chain: str
    files: Mapping[str, bytes]

    def below(self, folder: str) -> Mapping[str, bytes]:
        """The files of SESSION or FLOW by their names there."""
        return FilesBelow(self.files, folder)


class ListedFiles(Mapping[str, bytes]):
    """The files of a parcel, each unpacked when it is asked for and held to the list: whatever becomes of the zip
    meanwhile, what is proved is what is taken. ``listed``: the size and the SHA-256 of each.
    """

    def __init__(self, files: Mapping[str, bytes], listed: Mapping[str, tuple[int, str]]) -> None:
        self._files, self._listed = files, listed

    def __getitem__(self, name: str) -> bytes:
        listed, data = self._listed[name], self._files[name]
        if (len(data), sha256(data).hexdigest()) != listed:
            raise Unreadable(
                f"{name} in it is not what the list {MANIFEST} says: its SHA-256 or size differs"
            )
        return data

    def __contains__(self, name: object) -> bool:
        return name in self._listed

    def __iter__(self) -> Iterator[str]:
        return iter(self._listed)

    def __len__(self) -> int:
        return len(self._listed)


class FilesBelow(Mapping[str, bytes]):
    """The files of a folder among others, by their names in it; each is had when it is asked for."""

    def __init__(self, files: Mapping[str, bytes], folder: str) -> None:
        self._files, self._folder = files, folder
        self._names = tuple(n.removeprefix(folder) for n in files if n.startswith(folder))

    def __getitem__(self, name: str) -> bytes:
        return self._files[self._folder + name]

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and self._folder + name in self._files

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


def may_hold(name: str) -> bool:
    """True for what a parcel may hold: a journal and what lies beside it, papers, attachments, torn writes, a flow."""
    if misnamed(name):
        return False
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


def unpack(data: bytes | BinaryIO, name: str) -> Parcel:
    """The parcel in a zip's bytes, or in a file that is open for as long as its files are asked for. JournalError,
    naming the file, for whatever this program would not have packed.
    """
    try:
        found = unzip(data, lambda n: n == MANIFEST or may_hold(n), ZipLimits(MOST_FILES, LARGEST, _most))
        return _checked(found)
    except Unreadable as problem:
        raise JournalError(f"{name}: {problem}. Nothing was changed.") from problem


def _most(name: str) -> int:
    """How many bytes a file of a parcel may have."""
    if name.startswith(FLOW):
        return SOURCE_LIMITS[Source.FLOW_FILE].size
    return SOURCE_LIMITS[Source.MANIFEST].size if name == MANIFEST else LARGEST_FILE


def _checked(files: Mapping[str, bytes]) -> Parcel:
    """The parcel, if the list of its files tells the truth about each."""
    head, rows = _manifest(files.get(MANIFEST))
    listed = {}
    for row in rows:
        if (
            not isinstance(row, dict)
            or set(row) != {"name", "size", "sha256"}
            or not isinstance(row["name"], str)
        ):
            raise Unreadable(f"the list {MANIFEST} has a line that names no file, size and SHA-256")
        listed[row["name"]] = row["size"], row["sha256"]
    inside = set(files) - {MANIFEST}
    for name in sorted({*listed, *inside}):
        if name not in inside:
            raise Unreadable(f"{harmless(name)} is on the list {MANIFEST}, but not in it")
        if name not in listed:
            raise Unreadable(f"{name} is in it, but not on the list {MANIFEST}")
    own = ListedFiles(files, listed)
    for name in sorted(own):
        own[name]
    return Parcel(head["session"], head["flow"], head["chain"], own)


def _manifest(data: bytes | None) -> tuple[dict[str, str], list[Any]]:
    if data is None:
        raise Unreadable(f"it has no list {MANIFEST}, so it is no parcel of a session")
    try:
        table = read_toml(data, Source.MANIFEST)
    except ValueError as error:
        raise Unreadable(f"its list {MANIFEST} can't be read: {harmless(str(error))}") from None
    head, rows = table.get("parcel"), table.get("file")
    if not isinstance(head, dict) or not isinstance(rows, list) or head.get("format") != FORMAT:
        raise Unreadable(f"its list {MANIFEST} is not of format {FORMAT}. A newer program may read it")
    if not all(isinstance(head.get(key), str) for key in ("session", "flow", "chain")):
        raise Unreadable(f"its list {MANIFEST} names no session, flow or chain value")
    return head, rows
