"""The good flow of the tests, with texts of it replaced; and the broken ones, each a file of how it differs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import tomli

from wizard.flow.parsing.flow_files import read_folder

HERE = Path(__file__).parents[2] / "flow"
GOOD = HERE / "good"
_PLACE = re.compile(r"(library/[\w/.-]+?\.toml)(:\d+)+")


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


@dataclass(frozen=True, eq=False)
class Broken:
    """A broken flow: the texts of the good one that are replaced, the files added, and what must be said of it.

    The file has ``problems`` (a line each), ``[[edit]]`` with file, old and new (and an encoding), ``[[add]]`` with
    file and text.
    """

    name: str
    table: Mapping[str, Any]

    @property
    def problems(self) -> list[str]:
        """The lines expected."""
        return str(self.table["problems"]).splitlines()

    def found(self, problems: Iterable[object]) -> list[str]:
        """Problems as lines; where something stands in the library is left open: it isn't the tests'."""
        return [_PLACE.sub(r"\1:~", str(problem)) for problem in problems]

    def files(self) -> dict[str, bytes]:
        """The files of the good flow as this one has them."""
        files = dict(_good())
        for edit in self.table.get("edit", ()):
            text = files[edit["file"]].decode()
            assert edit["old"] in text, f"{self.name}: {edit['old']}"
            new = text.replace(edit["old"], edit["new"], 1)
            files[edit["file"]] = new.encode(edit.get("encoding", "utf-8"))
        files.update({added["file"]: added["text"].encode() for added in self.table.get("add", ())})
        return files


def broken() -> list[Broken]:
    """Every broken flow, by its name."""
    found = sorted((HERE / "broken").glob("*/*.toml"), key=lambda path: path.name)
    return [Broken(path.stem, tomli.loads(path.read_text(encoding="utf-8"))) for path in found]


BROKEN = broken()
