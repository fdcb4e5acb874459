"""The papers of a visit, written into the session's folder: summary, parts list, record."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from datetime import UTC, tzinfo
from pathlib import Path

from wizard.engine.state import State
from wizard.errors import SteadfootError
from wizard.flow.model import Flow
from wizard.journal import disk
from wizard.review.handover import parts_list, record, summary

SUMMARY, PARTS, RECORD = "HANDOVER.md", "PARTS.md", "RECORD.md"
"""Their names; the next visit's come beside the first's with its number."""


@dataclass(frozen=True, slots=True)
class Papers:
    """What was written: the customer's summary with its SHA-256, the record, and a parts list where one is due."""

    summary: Path
    sha256: str
    record: Path
    parts: Path | None


def name_for(name: str, visit: int) -> str:
    """The file's name: HANDOVER.md, and HANDOVER-2.md on the second visit, so that none is written over."""
    stem, _, suffix = name.rpartition(".")
    return name if visit <= 1 else f"{stem}-{visit}.{suffix}"


def write(folder: Path, flow: Flow, state: State, chain: str, zone: tzinfo = UTC) -> Papers:
    """Write the papers of the present visit, whole or not at all. SteadfootError in plain words if the disk refuses."""
    number = state.visit.number if state.visit else 1
    text = summary(flow, state, chain, zone)
    listed = parts_list(flow, state, zone)
    parts = _put(folder / name_for(PARTS, number), listed) if listed else None
    kept = _put(folder / name_for(RECORD, number), record(flow, state, zone))
    path = _put(folder / name_for(SUMMARY, number), text)
    return Papers(path, hashlib.sha256(text.encode("utf-8")).hexdigest(), kept, parts)


def _put(path: Path, text: str) -> Path:
    """Put a file in place durably; an earlier one of this visit is replaced."""
    made = path.with_name(f".new-{os.getpid()}-{path.name}")
    try:
        made.unlink(missing_ok=True)
        disk.write_new(made, text.encode("utf-8"))
        made.replace(path)
        disk.sync_folder(path.parent)
    except OSError as error:
        why = error.strerror or str(error)
        raise SteadfootError(
            f"{path}: can't be written ({why}). The journal is whole. Mend the disk, then try again."
        ) from error
    return path
