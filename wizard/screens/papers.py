"""The papers of a visit, written into the session's folder: summary, parts list, record."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, tzinfo
from hashlib import sha256
from pathlib import Path

from wizard.engine.state import State, changed
from wizard.errors import SteadfootError
from wizard.flow.model import Flow
from wizard.journal import disk
from wizard.review import sealing
from wizard.review.handover import parts_list, record, summary
from wizard.review.parcel import PAPER

SUMMARY, PARTS, RECORD = "HANDOVER.md", "PARTS.md", "RECORD.md"
"""Their names; the next visit's come beside the first's with its number."""


@dataclass(frozen=True, slots=True)
class Papers:
    """What was written: the customer's summary with its SHA-256, the record, and a parts list where one is due.

    ``beside``: the SHA-256 of the last two by their names.
    """

    summary: Path
    sha256: str
    record: Path
    parts: Path | None
    beside: Mapping[str, str]


def name_for(name: str, visit: int) -> str:
    """The file's name: HANDOVER.md, and HANDOVER-2.md on the second visit, so that none is written over."""
    stem, _, suffix = name.rpartition(".")
    return name if visit <= 1 else f"{stem}-{visit}.{suffix}"


def write(folder: Path, flow: Flow, state: State, zone: tzinfo = UTC) -> Papers:
    """Write the papers of the present visit, whole or not at all. SteadfootError in plain words if the disk refuses."""
    number = state.visit.number if state.visit else 1
    name = name_for(SUMMARY, number)
    text = summary(flow, state, zone=zone).encode("utf-8")
    digest = sealing.digest(text)
    told = record(flow, changed(state, handover=(name, digest)), zone).encode("utf-8")
    listed = parts_list(flow, state, zone).encode("utf-8")
    parts = _put(folder / name_for(PARTS, number), listed) if listed else None
    kept = _put(folder / name_for(RECORD, number), told)
    beside = {kept.name: sha256(told).hexdigest()}
    if parts:
        beside[parts.name] = sha256(listed).hexdigest()
    return Papers(_put(folder / name, text), digest, kept, parts, beside)


def seal(folder: Path, state: State, chain: str) -> bool:
    """Write the seal of the closed visit on its paper, if that has room for it and is the one handed over.

    True when it was written now. SteadfootError in plain words if the disk refuses.
    """
    name, digest = state.handover
    path = folder / name
    if not PAPER.fullmatch(name) or path.is_symlink() or not path.is_file():
        return False
    paper = disk.load(path)
    if sealing.digest(paper) != digest or sealing.seal_of(paper) or sealing.body(paper) == paper:
        return False
    _put(path, sealing.sealed(paper, chain))
    return True


def _put(path: Path, data: bytes) -> Path:
    """Put a file in place durably; an earlier one of this visit is replaced."""
    made = path.with_name(f".new-{os.getpid()}-{path.name}")
    try:
        made.unlink(missing_ok=True)
        disk.write_new(made, data)
        made.replace(path)
        disk.sync_folder(path.parent)
    except OSError as error:
        why = error.strerror or str(error)
        raise SteadfootError(
            f"{path}: can't be written ({why}). The journal is whole. Mend the disk, then try again."
        ) from error
    return path
