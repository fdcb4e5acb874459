"""The papers of a session held against its journal, and the seal on the customer's paper against the chain.

Nothing is read out of a paper: its bytes are held to the journal's SHA-256, and its last line to the seal lines that
the chain's values make.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from wizard.documents.files import paper_seal
from wizard.documents.files.paper_names import PAPER, is_handover
from wizard.documents.writers.writer import writer_for
from wizard.engine.messages import events as ev
from wizard.errors import SteadfootError
from wizard.foreign.limits import Source
from wizard.journal.durable_io import load


@dataclass(frozen=True, slots=True)
class PaperCheck:
    """What a check of one paper found; ``trouble`` and ``note`` may be empty."""

    name: str
    trouble: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Handed:
    """A paper as the journal knows it: its SHA-256, that event's number, and whether its last line is a seal."""

    name: str
    digest: str
    seq: int
    sealed: bool


def check_papers(folder: Path, records: Sequence[ev.Recorded], chains: Sequence[str]) -> Iterator[PaperCheck]:
    """Each paper as it was last written.

    ``chains`` are the chain values of the journal's blocks (hex), in the order of ``records``.
    """
    pairs = list(zip(records, chains, strict=False))
    closings = {chain: r.seq for r, chain in pairs if isinstance(r.event, ev.Closed)}
    handed = _handed(records)
    for paper in handed.values():
        yield _check(folder, paper, chains, closings)
    yield from _unknown(folder, handed, closings)


def _handed(records: Sequence[ev.Recorded]) -> dict[str, _Handed]:
    """The papers that the journal names, each as the last event that names it says."""
    found: dict[str, _Handed] = {}
    for record in records:
        event = record.event
        if isinstance(event, ev.HandedOver):
            found[event.name] = _Handed(event.name, event.sha256, record.seq, True)
            for name, digest in event.beside.items():
                found[name] = _Handed(name, str(digest), record.seq, False)
    return found


def _check(folder: Path, handed: _Handed, chains: Sequence[str], closings: dict[str, int]) -> PaperCheck:
    paper, trouble = _read(folder, handed.name)
    if trouble:
        return PaperCheck(handed.name, trouble)
    path = folder / handed.name
    digest = paper_seal.digest(paper) if handed.sealed else sha256(paper).hexdigest()
    if digest != handed.digest:
        says = f"{path}: it was altered; its SHA-256 is not the one that the journal holds."
        return PaperCheck(handed.name, says)
    writer = writer_for(handed.name)
    if not handed.sealed or paper_seal.bears(paper, closings, writer):
        return PaperCheck(handed.name)
    if not paper_seal.unsealed(paper, writer):
        return PaperCheck(handed.name, _strange(path, paper, paper_seal.bears(paper, chains, writer)))
    closed = any(seq > handed.seq for seq in closings.values())
    return PaperCheck(handed.name, note=_UNSEALED.format(name=handed.name) if closed else "")


def _unknown(folder: Path, handed: dict[str, _Handed], closings: dict[str, int]) -> Iterator[PaperCheck]:
    """Handovers in the folder that the journal knows nothing of: one that is sealed was handed over once."""
    for path in sorted(folder.glob("*.md")):
        if path.name in handed or not is_handover(path.name):
            continue
        paper, _trouble = _read(folder, path.name)
        writer = writer_for(path.name)
        if paper and not paper_seal.unsealed(paper, writer) and not paper_seal.bears(paper, closings, writer):
            yield PaperCheck(path.name, _strange(path, paper, False))


_UNSEALED = "{name} has no seal on its last line yet: it gets it when the closed job is opened."


def _read(folder: Path, name: str) -> tuple[bytes, str]:
    """A paper's bytes, or why they can't be looked at."""
    if not PAPER.fullmatch(name):
        return b"", f"{name!r} is no name that a handover file has."
    path = folder / name
    if path.is_symlink():
        return b"", f"{path}: this is a link to another file, not the handover."
    try:
        return load(path, Source.PAPER), ""
    except SteadfootError as trouble:
        return b"", str(trouble)


def _strange(path: Path, paper: bytes, there: bool) -> str:
    """The sentence on a seal that is not that of an event that closed a visit."""
    last = paper_seal.split(paper)[1].decode("utf-8", "replace").strip()
    where = "that of an event that closes no visit" if there else "in no block of the journal"
    return (
        f"{path}: the seal on it, its last line {last[:80]!r}, is {where}. Blocks were cut off the journal's end, or "
        "the journal was rewritten, or the seal on the paper was altered. Compare it with the customer's copy."
    )
