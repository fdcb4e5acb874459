"""Proofs out of a ledger in a small file, which anybody can check against a head that was kept, without the ledger."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum, unique
from pathlib import Path
from typing import Any

import tomli_w

from wizard.errors import JournalError, UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source, Unreadable
from wizard.foreign.toml_reader import read_toml
from wizard.journal.codec import from_table, to_table
from wizard.trust import merkle_tree
from wizard.trust.merkle_tree import leaf_hash
from wizard.trust.seal_ledger import LedgerHead, SealLedger, entry_of

FORMAT = 1
_TABLE = "proof"
_HASH = re.compile(r"[0-9a-f]{64}")


@unique
class ProofKind(StrEnum):
    """What a proof shows: that a line is in a ledger, or that one ledger is the beginning of another."""

    INCLUSION = "inclusion"
    CONSISTENCY = "consistency"


@dataclass(frozen=True, slots=True)
class LedgerProof:
    """``size``, ``root``: the head that it ends at. Of an inclusion ``line`` and its ``index``, from 0; of a
    consistency ``first`` and ``first_root``, the head that it begins at. ``path``: its hashes, from the leaves
    upward, in hex.
    """

    kind: ProofKind
    size: int
    root: str
    path: tuple[str, ...] = ()
    line: str = ""
    index: int = 0
    first: int = 0
    first_root: str = ""

    @property
    def head(self) -> LedgerHead:
        """The head that it ends at."""
        return LedgerHead(self.size, self.root)

    @property
    def start(self) -> LedgerHead:
        """Of a consistency the head that it begins at."""
        return LedgerHead(self.first, self.first_root)

    @property
    def holds(self) -> bool:
        """Whether its hashes lead to the root that it names. Whether that is the shop's, only a kept head tells."""
        path = tuple(map(bytes.fromhex, self.path))
        root = bytes.fromhex(self.root)
        if self.kind is ProofKind.INCLUSION:
            leaf = leaf_hash(self.line.encode("ascii"))
            return merkle_tree.includes(leaf, self.index, self.size, path, root)
        return merkle_tree.consistent(self.first, self.size, bytes.fromhex(self.first_root), root, path)


def prove_line(ledger: SealLedger, index: int) -> LedgerProof:
    """That the line of this index, from 0, is in the ledger. UsageError where there is none."""
    if not 0 <= index < len(ledger.entries):
        raise UsageError(f"The ledger has {len(ledger.entries)} lines, not {index + 1}.")
    path = tuple(each.hex() for each in merkle_tree.inclusion_path(ledger.leaves, index))
    line, head = ledger.entries[index].line.decode("ascii"), ledger.head
    return LedgerProof(ProofKind.INCLUSION, head.size, head.root, path, line, index)


def prove_since(ledger: SealLedger, size: int) -> LedgerProof:
    """That the first ``size`` lines are the beginning of this ledger. UsageError where there are not so many."""
    if not 1 <= size <= len(ledger.entries):
        raise UsageError(f"The ledger has {len(ledger.entries)} lines, not {size}.")
    first, head = ledger.head_at(size), ledger.head
    path = tuple(each.hex() for each in merkle_tree.consistency_path(ledger.leaves, size))
    return LedgerProof(
        ProofKind.CONSISTENCY, head.size, head.root, path, first=first.size, first_root=first.root
    )


def dump_proof(proof: LedgerProof) -> bytes:
    """The file's bytes."""
    return tomli_w.dumps({"format": FORMAT, _TABLE: to_table(proof)}).encode("utf-8")


def load_proof(path: Path) -> LedgerProof:
    """The proof in a file. UsageError where it isn't there; JournalError where it is none."""
    try:
        return parse_proof(read_file(path, Source.PROOF), str(path))
    except FileNotFoundError:
        raise UsageError(f"{path}: there is no such file. Name one of 'steadfoot ledger prove'.") from None
    except (OSError, Unreadable) as problem:
        raise UsageError(f"{path}: can't be read ({problem}).") from problem


def parse_proof(data: bytes, name: str = "proof") -> LedgerProof:
    """The same of a file's bytes."""
    try:
        table = read_toml(data, Source.PROOF)
        if table.get("format") != FORMAT or set(table) != {"format", _TABLE}:
            raise ValueError(f"it is not of format {FORMAT}")
        return _proof(table[_TABLE])
    except ValueError as problem:
        raise JournalError(f"{name}: this is no proof of a ledger: {problem}.") from problem


def _proof(table: Any) -> LedgerProof:
    if not isinstance(table, Mapping):
        raise ValueError("proof is no table")
    proof = from_table(LedgerProof, table)
    hashes = (*proof.path, proof.root, *((proof.first_root,) if proof.kind is ProofKind.CONSISTENCY else ()))
    if not all(map(_HASH.fullmatch, hashes)):
        raise ValueError("a hash in it is not 64 hex digits")
    if proof.kind is ProofKind.INCLUSION:
        entry_of(proof.line)
    return proof
