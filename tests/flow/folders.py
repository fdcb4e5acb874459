"""The good flow of the tests, with files of it replaced."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from wizard.flow.files import read_folder

HERE = Path(__file__).parent
GOOD = HERE / "good"
BROKEN = sorted(path for path in (HERE / "broken").iterdir() if path.is_dir())


@lru_cache(maxsize=1)
def _good() -> Mapping[str, bytes]:
    return read_folder(GOOD)


def good(**replaced: bytes | None) -> dict[str, bytes]:
    """The files of the good flow; ``replaced`` maps a name to other bytes, or to None to take the file out."""
    files = {**_good(), **replaced}
    return {name: data for name, data in files.items() if data is not None}


def edited(name: str, old: str, new: str) -> dict[str, bytes]:
    """The files of the good flow with one text in one file replaced; it must be there."""
    text = _good()[name].decode()
    assert old in text
    return good(**{name: text.replace(old, new, 1).encode()})


def overlaid(folder: Path) -> dict[str, bytes]:
    """The files of the good flow with those under ``folder`` in their place."""
    found = [p for p in folder.rglob("*") if p.is_file() and p.name != "problems.txt"]
    return good(**{p.relative_to(folder).as_posix(): p.read_bytes() for p in found})
