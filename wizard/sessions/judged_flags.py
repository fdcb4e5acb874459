"""What reviewers say of a session's flags, fair or not: in a file beside the journal, which travels with it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from wizard.errors import JournalError, UsageError
from wizard.foreign.limits import NAME_LENGTH, Source
from wizard.journal.row_file import RowFile

NAME = "judged-flags.toml"
"""The file's name in a session's folder."""

FORMAT = 1
KEY = "judged"
_AT = re.compile(r"\d{4}-\d\d-\d\dT[0-9:.]{5,15}(Z|[+-]\d\d:\d\d)", re.ASCII)
_RULE = re.compile(r"[a-z][a-z0-9-]{0,39}")


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


_FILE = RowFile(
    NAME, JudgedFlag, KEY, "judged flags", Source.REVIEW,
    "Mend it, or move it away: the journal itself is not touched by it.",
)  # fmt: skip


def load(folder: Path) -> tuple[JudgedFlag, ...]:
    """All of a session, the oldest first; none where there is no file. JournalError if it can't be read."""
    return _FILE.load(folder)


def parse(data: bytes, name: str = NAME) -> tuple[JudgedFlag, ...]:
    """Those of a file's bytes. JournalError says what is wrong with them."""
    return _FILE.parse(data, name)


def prove(data: bytes, events: int, name: str) -> None:
    """Refuse those of a zip that are of no event of its journal, of nobody, of no time or no rule. JournalError
    says which. ``events``: how many its journal has.
    """
    for number, one in enumerate(parse(data, name), 1):
        wrong = (
            "nobody who says it" if not 0 < len(one.by.strip()) <= NAME_LENGTH
            else "no time" if not _AT.fullmatch(one.at)
            else "no rule" if not _RULE.fullmatch(one.rule)
            else f"no event of its journal, which has {events}" if not 1 <= one.event <= events
            else ""
        )  # fmt: skip
        if wrong:
            raise JournalError(f"{name}: [[{KEY}]] {number} names {wrong}. Nothing was changed.")


def take_in(folder: Path, came: bytes) -> bool:
    """Add what another copy of this session has more; True where there was any. The last word on a flag is the latest
    by its time. The errors of ``judge``.
    """
    theirs = parse(came)
    if new := tuple(one for one in dict.fromkeys(theirs) if one not in load(folder)):
        _FILE.change(folder, lambda old: tuple(sorted((*old, *new), key=lambda one: one.at)))
    return bool(new)


def standing(judged: tuple[JudgedFlag, ...]) -> Mapping[tuple[str, int], JudgedFlag]:
    """By rule and event the last word on each; the words before it stay in the file."""
    return {(one.rule, one.event): one for one in judged}


def judge(folder: Path, judged: JudgedFlag) -> tuple[JudgedFlag, ...]:
    """Write a word on a flag beside the journal. UsageError when nobody is named; JournalBusy, JournalError or
    JournalLost where it can't be written.
    """
    if not judged.by.strip():
        raise UsageError("Who judges a flag is named. Say who looks at this session.")
    return _FILE.change(folder, lambda old: (*old, judged))
