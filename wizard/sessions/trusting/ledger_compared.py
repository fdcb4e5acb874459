"""Which ledger the sessions of a home are compared with: the shop's that was named, the home's own, both or none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from enum import StrEnum, unique
from hashlib import sha256
from pathlib import Path
from typing import Any

from wizard.domain.counting import plural
from wizard.errors import SteadfootError
from wizard.foreign.harmless import harmless
from wizard.trust.head_signature import heads_found, load_heads
from wizard.trust.seal_ledger import NAME, LedgerHead, SealLedger, remembered_ledger
from wizard.trust.trusted_keys import load_trusted

NOTHING = "-"


@unique
class LedgerOf(StrEnum):
    """Whose ledger it is: the one that was named for the shop, or the one in the home folder."""

    SHOP = "shop"
    HOME = "home"


@dataclass(frozen=True, slots=True)
class ComparedLedger:
    """A ledger that there is, or that was named. ``lines``: None where it is not there or can't be read; ``signed``:
    the signed heads that it goes on from; ``troubles``: what is wrong with it, a sentence each.
    """

    of: LedgerOf
    where: str
    lines: int | None = None
    signed: int = 0
    troubles: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """'the shop's ledger (/share/ledger.txt): 12 lines, 2 signed heads that it goes on from'."""
        whose = "the shop's ledger" if self.of is LedgerOf.SHOP else "this home's own ledger"
        heads = f"{plural(self.signed, 'signed head')} that it goes on from"
        count = plural(self.lines or 0, "line")
        return f"{whose} ({harmless(self.where)}): {count}, {heads if self.signed else 'no signed head'}"


@dataclass(frozen=True, slots=True)
class LedgersCompared:
    """The ledgers that sessions are compared with, and those that were named in vain. ``state``: what they are now, to
    be noted; where it is another one, sessions are compared again.
    """

    ledgers: tuple[ComparedLedger, ...] = ()
    state: str = ""

    @property
    def there(self) -> tuple[ComparedLedger, ...]:
        """Those with lines that could be read."""
        return tuple(one for one in self.ledgers if one.lines is not None)

    @property
    def short(self) -> str:
        """'compared with the shop's ledger', for a line's end."""
        whose = {LedgerOf.SHOP: "the shop's ledger", LedgerOf.HOME: "this home's ledger"}
        names = [whose[one.of] for one in self.there]
        return f"compared with {' and '.join(names) or 'no ledger'}"

    @property
    def troubles(self) -> tuple[str, ...]:
        """What is wrong with them, a sentence each."""
        return tuple(says for one in self.ledgers for says in one.troubles)

    @property
    def lines(self) -> tuple[str, ...]:
        """Which they were compared with, or that with none, and what is wrong with those; a sentence each."""
        which = tuple(f"Closing seals were compared with {one.words}." for one in self.there)
        none = "No ledger: closing seals were compared with none (--ledger, steadfoot ledger)."
        return (*(which or (none,)), *self.troubles)

    @property
    def table(self) -> list[dict[str, Any]]:
        """The same as plain dicts."""
        return [asdict(one) for one in self.ledgers]


def ledgers_compared(root: Path, named: Path | None) -> LedgersCompared:
    """The ledgers that the sessions of a home are compared with; ``named``: the folder of the shop's. What is wrong
    with one is said, never raised.
    """
    found = tuple(_found(root, of, folder) for of, folder in folders(root, named))
    return LedgersCompared(tuple(one for one, _state in found), " ".join(state for _one, state in found))


def folders(root: Path, named: Path | None) -> Iterator[tuple[LedgerOf, Path]]:
    """Where ledgers lie: the folder that was named, and the home where it has one, or where none was named."""
    if named is not None:
        yield LedgerOf.SHOP, named
    if (root / NAME).is_file() and (named is None or named.resolve() != root.resolve()):
        yield LedgerOf.HOME, root


def _found(root: Path, of: LedgerOf, folder: Path) -> tuple[ComparedLedger, str]:
    where = str(folder)
    try:
        ledger = remembered_ledger(folder)
    except SteadfootError as problem:
        return ComparedLedger(of, where, troubles=(str(problem).splitlines()[0],)), state_of(folder, None)
    if ledger is None:
        away = f"The ledger that was named is not there: {harmless(where)}. Nothing was compared with it."
        return ComparedLedger(of, where, troubles=(away,)), state_of(folder, None)
    try:
        heads = list(heads_found(ledger, load_heads(folder), load_trusted(root)))
    except SteadfootError as problem:
        unread = (str(problem).splitlines()[0],)
        return ComparedLedger(of, where, len(ledger.entries), 0, unread), state_of(folder, ledger)
    troubles = tuple(head.says for head in heads if head.wrong)
    good = sum(not head.wrong for head in heads)
    return ComparedLedger(of, where, len(ledger.entries), good, troubles), state_of(folder, ledger)


def state_of(folder: Path, ledger: SealLedger | None) -> str:
    """A ledger in three words: where it lies, how many lines it has, their root."""
    size, root = (ledger.head.size, ledger.head.root) if ledger is not None else (NOTHING, NOTHING)
    return f"{_place(folder)} {size} {root}"


def _place(folder: Path) -> str:
    return sha256(str(folder.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:16]


def named_since(root: Path, named: Path | None, before: str) -> frozenset[str] | None:
    """The sessions that lines of the ledgers name which were added since their state was noted, all of a ledger that is
    new here; None where one is gone, or does not go on from what it was: then all are compared again.
    """
    words = before.split()
    noted = {words[at]: words[at + 1 : at + 3] for at in range(0, len(words), 3)}
    now = {_place(folder): folder for _of, folder in folders(root, named)}
    if not noted.keys() <= now.keys():
        return None
    added: set[str] = set()
    for place, folder in now.items():
        try:
            ledger = remembered_ledger(folder) or SealLedger()
        except SteadfootError:
            return None
        size, digits = noted.get(place, [NOTHING, NOTHING])
        kept = int(size) if size.isdecimal() else 0
        if kept and ledger.departs(LedgerHead(kept, digits)):
            return None
        added |= {entry.session for entry in ledger.entries[kept:]}
    return frozenset(added)
