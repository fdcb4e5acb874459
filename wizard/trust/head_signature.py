"""Heads of a ledger signed by the keys of those who added to it: a file beside the ledger, the newest of each key.

A ledger that is written anew departs from a head that was signed before, and a head can't be signed anew without its
key. Who takes the file away takes that away: a head that is kept elsewhere holds all the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from wizard.domain.counting import plural
from wizard.errors import JournalError, SteadfootError
from wizard.foreign.limits import Source
from wizard.journal.row_file import RowFile
from wizard.trust.key_file import sign_by_home
from wizard.trust.seal_ledger import LedgerHead, SealLedger
from wizard.trust.signature_check import found_of
from wizard.trust.trusted_keys import Trusted

NAME = "ledger-heads.toml"
"""The file's name in the ledger's folder."""

ANEW = "The ledger was written anew since: look into it (steadfoot ledger check), and restore it from a copy."
_ROOT = re.compile(r"[0-9a-f]{64}")
_AT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")


@dataclass(frozen=True, slots=True)
class HeadSignature:
    """A head signed. ``size``: lines; ``root``: 64 hex digits; ``at``: when, by that computer's clock; ``key``,
    ``signature``: hex digits.
    """

    size: int
    root: str
    at: str
    key: str = ""
    signature: str = ""

    @property
    def head(self) -> LedgerHead:
        """The head that is signed."""
        return LedgerHead(self.size, self.root)

    @property
    def message(self) -> bytes:
        """The bytes that are signed: a line for each thing said, none of which can hold a line's end."""
        lines = ("steadfoot ledger head 1", f"size {self.size}", f"root {self.root}", f"at {self.at}")
        return "".join(f"{line}\n" for line in lines).encode("ascii")


@dataclass(frozen=True, slots=True)
class HeadFound:
    """How a signed head stands to a ledger: a sentence, and whether something is wrong by it."""

    says: str
    wrong: bool


def _wrong(one: HeadSignature) -> str:
    formed = one.size >= 0 and _ROOT.fullmatch(one.root) and _AT.fullmatch(one.at)
    return "" if formed else "no size, root or time"


_FILE = RowFile(
    NAME, HeadSignature, "head", "signed heads", Source.SIGNATURE,
    "Restore it from a copy. The ledger itself is not touched by it.", _wrong,
)  # fmt: skip


def load_heads(folder: Path) -> tuple[HeadSignature, ...]:
    """The signed heads beside a ledger; none where there is no file. JournalError if it is no such file."""
    return _FILE.load(folder)


def parse_heads(data: bytes, name: str = NAME) -> tuple[HeadSignature, ...]:
    """The same of a file's bytes."""
    return _FILE.parse(data, name)


dump_heads = _FILE.dump


def sign_head(home: Path, folder: Path, ledger: SealLedger, at: str) -> str:
    """Sign a ledger's head by the key of a home and keep that beside the ledger, in place of that key's last; gives
    what is to be said of it, which is nothing where there is no key. A ledger that departs from what this key signed
    last is not signed: its new head would hide that it was written anew.
    """
    bare = HeadSignature(ledger.head.size, ledger.head.root, at)
    signed = sign_by_home(home, bare.message)
    if not signed.signature:
        return f"The ledger's head is not signed: {signed.why}" if signed.why else ""
    try:
        one = replace(bare, key=signed.key, signature=signed.signature)
        _FILE.change(folder, lambda old: (*_of_others(old, one, ledger), one))
    except SteadfootError as problem:
        return f"The ledger's head is not signed: {problem}"
    return ""


def _of_others(
    old: Iterable[HeadSignature], one: HeadSignature, ledger: SealLedger
) -> Iterator[HeadSignature]:
    """The heads of other keys. JournalError where the ledger departs from the last of this one."""
    for before in old:
        if before.key != one.key:
            yield before
        elif departs := ledger.departs(before.head):
            raise JournalError(f"{departs} This key signed that head on {before.at[:10]}. {ANEW}")


def heads_found(ledger: SealLedger, some: Iterable[HeadSignature], trusted: Trusted) -> Iterator[HeadFound]:
    """How each signed head stands: whether its signature holds, whose it is, and whether the ledger goes on from it."""
    for one in some:
        found, lines = (
            found_of(one.key, one.signature, one.message, trusted),
            plural(one.size, "line"),
        )
        if found.wrong or not found.key:
            yield HeadFound(f"A head of {lines}: {found.words}.", True)
        elif departs := ledger.departs(one.head):
            yield HeadFound(f"A head of {lines}, {found.words}: {departs}", True)
        else:
            yield HeadFound(f"The ledger goes on from a head of {lines}, {found.words}.", False)
