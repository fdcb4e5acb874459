"""The files of a flow folder: which belong to it, reading them, and the digest that names them."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any

import tomli

from wizard.errors import FlowError

MAIN = "flow.toml"
SINGLE = (MAIN, "limits.toml", "findings.toml", "faults.toml")
OF_EDITORS = ("tombi.toml", ".taplo.toml")
"""Settings of language servers (``flow schema --out`` writes them), which may lie in a flow's folder: no part of it."""
FOLDERS = {"inspections": ".toml", "drawings": ".txt", "cases": ".toml"}
LARGEST = 4_000_000
DEEPEST = 40
_TOO_DEEP = f"nested more than {DEEPEST} deep. No file of a flow needs that"


def belongs(name: str) -> bool:
    """True for the files a session runs on: everything that is read but the cases."""
    return kind_of(name) not in ("", "case")


def kind_of(name: str) -> str:
    """Return what a file is by its name: flow, limits, findings, faults, inspection, drawing, case; or nothing."""
    if name in SINGLE:
        return name.removesuffix(".toml")
    path = PurePosixPath(name)
    if len(path.parts) != 2 or FOLDERS.get(path.parts[0]) != path.suffix:
        return ""
    return path.parts[0].removesuffix("s")


def read_folder(folder: Path) -> dict[str, bytes]:
    """Return name -> content of every TOML and drawing file in ``folder``; names have forward slashes.

    FlowError if there is no such folder, it has no flow.toml, or a file can't be read or is over 4 MB.
    """
    if not (folder / MAIN).is_file():
        raise FlowError(f"{folder}: no {MAIN} here. Name a folder that holds a flow")
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
