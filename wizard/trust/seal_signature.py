"""Signatures of a session's closing seals: a file of their own beside the journal.

The closing seal is the chain value of the closing event. It can be signed only once that event is written, and an event
behind it would move the end of the record off the seal that is printed. So the signature lies beside it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from wizard.foreign.limits import Source
from wizard.journal.row_file import RowFile
from wizard.journal.session_name import is_session

NAME = "signature.toml"
"""The file's name in a session's folder."""

FORMAT = 1
_CHAIN = re.compile(r"[0-9a-f]{64}")
_AT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")


@dataclass(frozen=True, slots=True)
class SealSignature:
    """A closing seal signed. ``session``: the id in the journal's first event; ``events``: the number of the closing
    event; ``at``: when, by that computer's clock; ``key``, ``signature``: hex digits.
    """

    session: str
    chain: str
    events: int
    at: str
    key: str = ""
    signature: str = ""

    @property
    def message(self) -> bytes:
        """The bytes that are signed: a line for each thing said, none of which can hold a line's end."""
        lines = (
            "steadfoot closing seal 1", f"session {self.session}", f"chain {self.chain}", f"events {self.events}",
            f"at {self.at}",
        )  # fmt: skip
        return "".join(f"{line}\n" for line in lines).encode("utf-8")

    @property
    def sound(self) -> bool:
        """Whether each thing is of its form."""
        formed = _CHAIN.fullmatch(self.chain) and _AT.fullmatch(self.at)
        return bool(formed) and is_session(self.session) and self.events > 0


def _wrong(one: SealSignature) -> str:
    return "" if one.sound else "no session, chain value or time"


_FILE = RowFile(
    NAME, SealSignature, "seal", "signatures", Source.SIGNATURE,
    "Restore it from a copy. The journal itself is not touched by it.", _wrong, exact=True,
)  # fmt: skip


def load_signatures(folder: Path) -> tuple[SealSignature, ...]:
    """The signatures of a session's folder, oldest first; none where there is no file. JournalError if it is no such
    file, or was altered in anything, spaces too.
    """
    return _FILE.load(folder)


def parse_signatures(data: bytes, name: str = NAME) -> tuple[SealSignature, ...]:
    """The same of a file's bytes: they must be those that the program writes of what they say."""
    return _FILE.parse(data, name)


dump_signatures = _FILE.dump


def add_signature(folder: Path, one: SealSignature) -> None:
    """Keep a signature. JournalError where the file there can't be read; JournalLost if the disk refuses."""
    _FILE.change(folder, lambda old: (*old, one))


def take_signatures(folder: Path, came: bytes) -> bool:
    """Add the signatures of another copy of this session; True where there were new ones. Errors as in ``add``."""
    theirs, here = parse_signatures(came), load_signatures(folder)
    new = tuple(one for one in theirs if one not in here)
    if new:
        _FILE.change(folder, lambda old: tuple(sorted((*old, *new), key=lambda one: (one.events, one.at))))
    return bool(new)
