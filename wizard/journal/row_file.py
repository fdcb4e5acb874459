"""A file of rows of one kind beside a journal or a ledger: read whole or refused in words, changed under a lock."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Generic, TypeVar

import tomli_w

from wizard.errors import JournalError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.journal.durable_io import put
from wizard.journal.held_file import held

FORMAT = 1

Row = TypeVar("Row")


def any_row(_row: Any) -> str:
    """Nothing is wrong with a row but what its types say."""
    return ""


@dataclass(frozen=True, slots=True)
class RowFile(Generic[Row]):
    """A kind of such files. ``name``: of the file in its folder; ``kind``: the dataclass of its rows, under ``key``;
    ``says``: what they are, as in 'signed heads'; ``hint``: what to do about one that can't be read; ``wrong``: what is
    missing in a row, as in 'no time', or empty; ``exact``: another byte than the program writes, a space too, is an
    alteration.
    """

    name: str
    kind: type[Row]
    key: str
    says: str
    source: Source
    hint: str
    wrong: Callable[[Row], str] = any_row
    exact: bool = False

    def load(self, folder: Path) -> tuple[Row, ...]:
        """The rows in a folder, oldest first; none where there is no file. JournalError if it is no such file."""
        path = folder / self.name
        try:
            return self.parse(read_file(path, self.source), str(path))
        except FileNotFoundError:
            return ()
        except (OSError, Unreadable) as problem:
            raise JournalError(f"{path}: can't be read ({problem}). {self.hint}") from problem

    def parse(self, data: bytes, name: str = "") -> tuple[Row, ...]:
        """The same of a file's bytes; ``name``: what the file is called in what is said of it."""
        name = name or self.name
        try:
            table = read_toml(data, self.source)
        except ValueError as problem:
            raise JournalError(f"{name}: this is not TOML in UTF-8 ({problem}). {self.hint}") from problem
        rows = table.get(self.key, [])
        if table.get("format") != FORMAT or set(table) - {"format", self.key} or not isinstance(rows, list):
            raise JournalError(f"{name}: not {self.says} of format {FORMAT}. {self.hint}")
        found = tuple(self._row(row, name) for row in rows)
        if self.exact and self.dump(found) != data:
            raise JournalError(f"{name}: it is not as the program wrote it: it was altered. {self.hint}")
        return found

    def _row(self, row: Any, name: str) -> Row:
        try:
            if not isinstance(row, dict):
                raise ValueError("it is no table")
            found = from_table(self.kind, row)
        except ValueError as problem:
            keys = ", ".join(spec.name for spec in fields(self.kind))  # type: ignore[arg-type]
            what = f"a [[{self.key}]] can't be read: {problem}. Its keys are {keys}."
            raise JournalError(f"{name}: {what} {self.hint}") from problem
        if wrong := self.wrong(found):
            raise JournalError(f"{name}: a [[{self.key}]] names {wrong}. {self.hint}")
        return found

    def dump(self, rows: Iterable[Row]) -> bytes:
        """The file's bytes."""
        tables = [to_table(row) for row in rows]
        whole = {"format": FORMAT, **({self.key: tables} if tables else {})}
        return tomli_w.dumps(whole).encode("utf-8", "replace")

    def change(self, folder: Path, change: Callable[[tuple[Row, ...]], tuple[Row, ...]]) -> tuple[Row, ...]:
        """Put the rows that ``change`` makes of those there in place, durably; gives them.

        JournalBusy where another program is at it, JournalError where the file there can't be read or would be too
        large, JournalLost if the disk refuses.
        """
        path = folder / self.name
        with held(path, f"write the {self.says} to"):
            rows = change(self.load(folder))
            data = self.dump(rows)
            if len(data) > (most := SOURCE_LIMITS[self.source].size):
                raise JournalError(f"{path}: it would be over {most // 1_000} kB. Move it away.")
            put(path, data)
            return rows
