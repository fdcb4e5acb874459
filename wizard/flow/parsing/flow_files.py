"""The files of a flow folder: which belong to it, reading them, and the digest that names them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any

from wizard.domain.flow_vocabulary import FileKind
from wizard.errors import FlowError
from wizard.flow.flow_places import shipped_library
from wizard.foreign.file_reader import read_file as read_foreign
from wizard.foreign.file_reader import size_words
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable
from wizard.foreign.portable_name import misnamed
from wizard.foreign.toml_reader import parse_toml

MAIN = "flow.toml"
LIMITS = "limits.toml"
FINDINGS = "findings.toml"
FAULTS = "faults.toml"
WEAK = "weak.toml"
"""Which edits of the flow nobody needs to notice; no session runs on it."""
WORDING = "wording.toml"
"""The flow's own words for what the library says; a flow may do without."""

SINGLE = (MAIN, LIMITS, FINDINGS, FAULTS)
LIBRARY = "library/"
"""Where the files of the library stand among those of every flow."""

MACHINE = LIBRARY + "machine.toml"
OF_EDITORS = ("tombi.toml", ".taplo.toml")
"""Settings of language servers (``flow schema --out`` writes them), which may lie in a flow's folder: no part of
it.
"""
FOLDERS = {"inspections": ".toml", "drawings": ".txt", "cases": ".toml"}
_IN_LIBRARY = {"procedures": ".toml", "drawings": ".txt"}
_DEEP = (2, 3)
"""How many parts a file's name has: its folder, a folder in that where there is one, and the file."""
_PATTERNS = (*("*/" * deep + "*.toml" for deep in range(4)), "*/*.txt", "*/*/*.txt")
"""Deeper than a flow goes, so that a file laid too deep is named and not passed over."""

LARGEST = SOURCE_LIMITS[Source.FLOW_FILE].size
MOST_FILES = 500
"""The most files that a flow's folder may have."""


def belongs(name: str) -> bool:
    """True for the files a session runs on: everything that is read but the cases, and what is said of them."""
    return kind_of(name) not in (None, FileKind.CASE, FileKind.WEAK)


@lru_cache(maxsize=4096)
def kind_of(name: str) -> FileKind | None:
    """Return what a file is by its name, or None."""
    if name in (*SINGLE, WEAK, WORDING):
        return FileKind(name.removesuffix(".toml"))
    if name == MACHINE:
        return FileKind.MACHINE
    folders = _IN_LIBRARY if name.startswith(LIBRARY) else FOLDERS
    path = PurePosixPath(name.removeprefix(LIBRARY))
    if (
        path.as_posix() != name.removeprefix(LIBRARY)
        or len(path.parts) not in _DEEP
        or folders.get(path.parts[0]) != path.suffix
    ):
        return None
    return FileKind(path.parts[0].removesuffix("s"))


def is_inspection(name: str) -> bool:
    """Return whether a file is an inspection of the flow."""
    return kind_of(name) is FileKind.INSPECTION


def is_procedure(name: str) -> bool:
    """Return whether a file is a procedure of the library."""
    return kind_of(name) is FileKind.PROCEDURE


def has_steps(name: str) -> bool:
    """Return whether a file holds an inspection or a procedure."""
    return kind_of(name) in (FileKind.INSPECTION, FileKind.PROCEDURE)


def of_case(name: str) -> bool:
    """Return whether a file holds cases."""
    return kind_of(name) is FileKind.CASE


def of_library(name: str) -> bool:
    """Return whether a file is one of the library's."""
    return name.startswith(LIBRARY)


def read_folder(folder: Path, library: Path | None = None) -> dict[str, bytes]:
    """Return name -> content of every TOML and drawing file of a flow; names have forward slashes.

    The library's (its folder, the shipped one where that is left out) are among them as ``library/...``: a flow
    always works by the library of the program, whatever lies beside it. FlowError if there is no such folder, it has
    no flow.toml, more files than a flow may have, or a file can't be read or is too large.
    """
    if not (folder / MAIN).is_file():
        raise FlowError(f"{folder}: no {MAIN} here. Name a folder that holds a flow")
    own = {name: data for name, data in _read(folder).items() if not of_library(name)}
    return {**own, **read_library(library)}


def path_of(folder: Path, name: str) -> Path:
    """Return where a file lies that is named as ``read_folder`` names it: one of the library's lies in the program's
    own, not in the flow's folder.
    """
    return shipped_library() / name.removeprefix(LIBRARY) if of_library(name) else folder / name


def read_library(folder: Path | None = None) -> dict[str, bytes]:
    """Return the files of the library (the shipped one where its folder is left out) as they stand in every flow."""
    return {LIBRARY + name: data for name, data in _read(folder or shipped_library()).items()}


def _read(folder: Path) -> dict[str, bytes]:
    """Return name -> content of every TOML and drawing file in a folder and the folders in it."""
    found = sorted(p for pattern in _PATTERNS for p in folder.glob(pattern))
    if len(found) > MOST_FILES:
        raise FlowError(f"{folder}: {len(found)} files in it; a flow has at most {MOST_FILES}")
    return {_name_of(path, folder): read_file(path) for path in found if path.is_file()}


def _name_of(path: Path, folder: Path) -> str:
    """A file's name in a flow. FlowError for one that no file can have on some system: it goes where sessions do."""
    name = path.relative_to(folder).as_posix()
    if why := misnamed(name):
        raise FlowError(
            f"{harmless(str(path))}: a file of a flow can't be named so: {why}. Give it another name"
        )
    return name


def read_file(path: Path) -> bytes:
    """Return a file's content; FlowError if it can't be read or is larger than a file of a flow may be."""
    try:
        return read_foreign(path, Source.FLOW_FILE)
    except TooLarge:
        raise FlowError(f"{path}: over {size_words(LARGEST)}. A flow's files are text of a few kB") from None
    except Unreadable as problem:
        raise FlowError(f"{path}: can't be read: {problem}. A flow's files are text of a few kB") from None
    except OSError as error:
        raise FlowError(
            f"{path}: can't be read ({error.strerror}). Look at the file's permissions"
        ) from error


def digest(files: Mapping[str, bytes]) -> str:
    """Return the SHA-256, as hex, of the sorted names and contents of the files a session runs on.

    Cases are left out: one more test of a flow doesn't make it another flow.
    """
    whole = sha256()
    for name in sorted(filter(belongs, files)):
        for part in (name.encode(), files[name]):
            whole.update(len(part).to_bytes(8, "big"))
            whole.update(part)
    return whole.hexdigest()


def decode(content: bytes) -> str:
    """Return the text of a file; UnicodeDecodeError if it isn't UTF-8. A byte order mark is dropped."""
    return content.decode("utf-8-sig").replace("\r\n", "\n")


def parse(text: str) -> dict[str, Any]:
    """Return the values of a TOML 1.0 text; ValueError if it isn't TOML, or more than a file of a flow may have."""
    try:
        return parse_toml(text, Source.FLOW_FILE)
    except Unreadable as problem:
        raise Unreadable(f"{problem}. No file of a flow needs that") from None
