"""The papers of a session held against its journal, and the seal on the customer's paper against the chain."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from hashlib import sha256
from pathlib import Path

from wizard.engine import events as ev
from wizard.errors import SteadfootError
from wizard.journal.block import grouped
from wizard.journal.disk import load
from wizard.review import sealing
from wizard.review.parcel import PAPER


def check_papers(
    folder: Path, records: Sequence[ev.Recorded], chains: Sequence[str]
) -> Iterator[tuple[str, str, str]]:
    """Each paper as it was last written: its name, what is wrong with it, and a note; both may be empty.

    ``chains`` are the chain values of the journal's blocks, in the order of ``records``.
    """
    closings = {
        c[:16]: r.seq for r, c in zip(records, chains, strict=False) if isinstance(r.event, ev.Closed)
    }
    for name, (digest, seq) in _kept(records).items():
        paper, trouble = _read(folder, name)
        trouble = trouble or _altered(folder / name, paper, digest)
        seal = sealing.seal_of(paper)
        # A paper made by an earlier version bears the value of the event before it; its SHA-256 takes that in.
        if not trouble and seal and digest == sealing.digest(paper) and seal not in closings:
            trouble = _strange(folder / name, seal, any(c.startswith(seal) for c in chains))
        room = sealing.body(paper) != paper and not seal
        closed = any(there > seq for there in closings.values())
        yield name, trouble, _UNSEALED.format(name=name) if room and closed and not trouble else ""
    yield from _unknown(folder, set(_kept(records)), closings)


def _unknown(folder: Path, kept: set[str], closings: Collection[str]) -> Iterator[tuple[str, str, str]]:
    """Papers in the folder that the journal knows nothing of: one that bears a seal was handed over once."""
    for path in sorted(folder.glob("*.md")):
        if path.name in kept or not PAPER.fullmatch(path.name):
            continue
        paper, _trouble = _read(folder, path.name)
        seal = sealing.seal_of(paper)
        if seal and seal not in closings:
            yield path.name, _strange(path, seal, False), ""


_UNSEALED = "{name} has no seal on its last line yet: it gets it when the closed job is opened."


def _kept(records: Sequence[ev.Recorded]) -> dict[str, tuple[str, int]]:
    """The SHA-256 of each paper and the number of the event that says so last."""
    handed = [(r.seq, r.event) for r in records if isinstance(r.event, ev.HandedOver)]
    return {n: (str(d), seq) for seq, e in handed for n, d in ((e.name, e.sha256), *e.beside.items())}


def _read(folder: Path, name: str) -> tuple[bytes, str]:
    """A paper's bytes, or why they can't be looked at."""
    if not PAPER.fullmatch(name):
        return b"", f"{name!r} is no name that a handover file has."
    path = folder / name
    if path.is_symlink():
        return b"", f"{path}: this is a link to another file, not the handover."
    try:
        return load(path), ""
    except SteadfootError as trouble:
        return b"", str(trouble)


def _altered(path: Path, paper: bytes, digest: str) -> str:
    if digest in (sealing.digest(paper), sha256(paper).hexdigest()):
        return ""
    return f"{path}: it was altered; its SHA-256 is not the one that the journal holds."


def _strange(path: Path, seal: str, there: bool) -> str:
    """The sentence on a seal that is not that of an event that closed a visit."""
    where = "that of an event that closes no visit" if there else "in no block of the journal"
    return (
        f"{path}: the seal on it, {grouped(seal)}, is {where}. Blocks were cut off the journal's end, or the "
        "journal was rewritten, or the seal on the paper was altered. Compare it with the customer's copy."
    )
