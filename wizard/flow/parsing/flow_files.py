"""The files of a flow folder: which belong to it, reading them, and the digest that names them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any

import tomli

from wizard.errors import FlowError
from wizard.flow.flow_places import shipped_library

MAIN = "flow.toml"
LIMITS = "limits.toml"
FINDINGS = "findings.toml"
FAULTS = "faults.toml"
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
_DEEP = 2
LARGEST = 4_000_000
DEEPEST = 40
_TOO_DEEP = f"nested more than {DEEPEST} deep. No file of a flow needs that"


def belongs(name: str) -> bool:
    """True for the files a session runs on: everything that is read but the cases."""
    return kind_of(name) not in ("", "case")


@lru_cache(maxsize=4096)
def kind_of(name: str) -> str:
    """Return what a file is by its name, or nothing.

    flow, limits, findings, faults, inspection, drawing, case; of the library machine, procedure, drawing.
    """
    if name in SINGLE:
        return name.removesuffix(".toml")
    if name == MACHINE:
        return "machine"
    folders = _IN_LIBRARY if name.startswith(LIBRARY) else FOLDERS
    path = PurePosixPath(name.removeprefix(LIBRARY))
    if len(path.parts) != _DEEP or folders.get(path.parts[0]) != path.suffix:
        return ""
    return path.parts[0].removesuffix("s")


def is_inspection(name: str) -> bool:
    """Return whether a file is an inspection of the flow."""
    return kind_of(name) == "inspection"


def is_procedure(name: str) -> bool:
    """Return whether a file is a procedure of the library."""
    return kind_of(name) == "procedure"


def has_steps(name: str) -> bool:
    """Return whether a file holds an inspection or a procedure."""
    return kind_of(name) in ("inspection", "procedure")


def of_library(name: str) -> bool:
    """Return whether a file is one of the library's."""
    return name.startswith(LIBRARY)


def read_folder(folder: Path, library: Path | None = None) -> dict[str, bytes]:
    """Return name -> content of every TOML and drawing file of a flow; names have forward slashes.

    The library's (its folder, the shipped one where that is left out) are among them as ``library/...``: a flow
    always works by the library of the program, whatever lies beside it. FlowError if there is no such folder, it has
    no flow.toml, or a file can't be read or is over 4 MB.
    """
    if not (folder / MAIN).is_file():
        raise FlowError(f"{folder}: no {MAIN} here. Name a folder that holds a flow")
    return {**_read(folder), **read_library(library)}


def read_library(folder: Path | None = None) -> dict[str, bytes]:
    """Return the files of the library (the shipped one where its folder is left out) as they stand in every flow."""
    return {LIBRARY + name: data for name, data in _read(folder or shipped_library()).items()}


def _read(folder: Path) -> dict[str, bytes]:
    """Return name -> content of every TOML and drawing file in a folder and the folders in it."""
    found = sorted(p for pattern in ("*.toml", "*/*.toml", "*/*.txt") for p in folder.glob(pattern))
    return {path.relative_to(folder).as_posix(): read_file(path) for path in found if path.is_file()}


def read_file(path: Path) -> bytes:
    """Return a file's content; FlowError if it can't be read or is over 4 MB."""
    try:
        if path.stat().st_size > LARGEST:
            raise FlowError(f"{path}: over {LARGEST // 1_000_000} MB. A flow's files are text of a few kB")
        return path.read_bytes()
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
    """Return the values of a TOML 1.0 text; ValueError (tomli's, or one of our own) if it isn't TOML.

    tomli is the standard library's parser, compiled: a third of its time. It reads the same on every Python; the
    versions of it that take more than TOML 1.0 are left out.
    """
    try:
        values = tomli.loads(text)
    except RecursionError:
        raise ValueError(_TOO_DEEP) from None
    if _depth(values) > DEEPEST:
        raise ValueError(_TOO_DEEP)
    return values


def _depth(values: Any) -> int:
    """Return how deeply tables and lists are nested, without nesting calls."""
    depth, level = 0, [values]
    while level and depth <= DEEPEST:
        depth += 1
        inner = (v.values() if isinstance(v, dict) else v for v in level)
        level = [v for values in inner for v in values if isinstance(v, dict | list)]
    return depth
