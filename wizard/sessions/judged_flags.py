"""What reviewers say of a session's flags, fair or not: in a file beside the journal, which travels in no zip."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import tomli_w
from filelock import FileLock, Timeout

from wizard.errors import JournalBusy, JournalError, UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.journal.durable_io import PRIVATE_FILE, lost, put

NAME = "judged-flags.toml"
"""The file's name in a session's folder."""

FORMAT = 1
KEY = "judged"
_LOCK = "judged-flags.lock"
_WAIT = 5.0


@dataclass(frozen=True, slots=True)
class JudgedFlag:
    """A flag judged: of which ``rule``, at which ``event``, ``fair`` or not, by whom, when.

    ``measure``: what was held against the rule's threshold then; None where it has none.
    """

    by: str
    at: str
    rule: str
    event: int
    fair: bool
    measure: float | None = None


def load(folder: Path) -> tuple[JudgedFlag, ...]:
    """All of a session, the oldest first; none where there is no file. JournalError if it can't be read."""
    path = folder / NAME
    try:
        return parse(read_file(path, Source.REVIEW), str(path))
    except FileNotFoundError:
        return ()
    except (TooLarge, Unreadable, OSError) as error:
        raise JournalError(f"{path}: can't be read ({error}). Mend it, or move it away.") from error


def parse(data: bytes, name: str = NAME) -> tuple[JudgedFlag, ...]:
    """Those of a file's bytes. JournalError says what is wrong with them."""
    hint = "Mend it, or move it away: the journal itself is not touched by it."
    try:
        table = read_toml(data, Source.REVIEW)
    except ValueError as error:
        raise JournalError(f"{name}: this is not TOML in UTF-8 ({error}). {hint}") from error
    rows = table.get(KEY, [])
    if table.get("format") != FORMAT or set(table) - {"format", KEY} or not isinstance(rows, list):
        raise JournalError(f"{name}: no judged flags of format {FORMAT}. {hint}")
    return tuple(_row(name, row) for row in rows)


def _row(name: str, row: Any) -> JudgedFlag:
    try:
        if not isinstance(row, dict):
            raise ValueError("it is no table")
        return from_table(JudgedFlag, row)
    except ValueError as problem:
        wanted = ", ".join(spec.name for spec in fields(JudgedFlag))
        raise JournalError(
            f"{name}: a [[{KEY}]] can't be read: {problem}. Its keys are {wanted}."
        ) from problem


def standing(judged: tuple[JudgedFlag, ...]) -> Mapping[tuple[str, int], JudgedFlag]:
    """By rule and event the last word on each; the words before it stay in the file."""
    return {(one.rule, one.event): one for one in judged}


def judge(folder: Path, judged: JudgedFlag) -> tuple[JudgedFlag, ...]:
    """Write a word on a flag beside the journal. UsageError when nobody is named; JournalBusy, JournalError or
    JournalLost where it can't be written.
    """
    if not judged.by.strip():
        raise UsageError("Who judges a flag is named. Say who looks at this session.")
    path = folder / NAME
    try:
        with FileLock(folder / _LOCK, timeout=_WAIT, mode=PRIVATE_FILE):
            every = (*load(folder), judged)
            data = tomli_w.dumps({"format": FORMAT, KEY: [to_table(one) for one in every]}).encode(
                "utf-8", "replace"
            )
            if len(data) > SOURCE_LIMITS[Source.REVIEW].size:
                raise UsageError(
                    f"{path}: it would be over {SOURCE_LIMITS[Source.REVIEW].size // 1_000_000} MB."
                )
            put(path, data)
            return every
    except Timeout:
        raise JournalBusy(f"{path}: another program is writing it. Try again in a moment.") from None
    except OSError as error:
        raise lost("write what was said of a flag", path, error) from error
