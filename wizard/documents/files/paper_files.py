"""The papers of a visit, written into the session's folder: handover, parts order, record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, tzinfo
from hashlib import sha256
from pathlib import Path

from wizard.documents.files import paper_seal
from wizard.documents.files.paper_names import PAPER, PaperKind, name_for
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.parts_order import parts_order
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.documents.writers.writer import Writer, writer_for
from wizard.engine.state.job_state import State, changed
from wizard.engine.state.job_view import JobView
from wizard.errors import SteadfootError
from wizard.foreign.limits import Source
from wizard.journal import durable_io


@dataclass(frozen=True, slots=True)
class Papers:
    """What was written: the customer's handover with its SHA-256, the record, and a parts order where one is due.

    ``beside``: the SHA-256 of the last two by their names.
    """

    handover: Path
    sha256: str
    record: Path
    parts: Path | None
    beside: Mapping[str, str]

    @property
    def names(self) -> tuple[str, ...]:
        """The files' names, the customer's first."""
        return tuple(p.name for p in (self.handover, self.parts, self.record) if p)


def write(folder: Path, view: JobView, zone: tzinfo = UTC, writer: Writer = MARKDOWN) -> Papers:
    """Write the papers of the present visit, each whole or not at all. SteadfootError in plain words if the disk
    refuses.
    """
    visit = view.state.visit.number if view.state.visit else 1
    name = name_for(PaperKind.HANDOVER, visit, writer.suffix)
    handover = writer.write(customer_handover(view, zone=zone))
    digest = paper_seal.digest(handover)
    order = parts_order(view, zone)
    beside = {}
    parts = None
    if order is not None:
        listed = writer.write(order)
        parts = _put(folder / name_for(PaperKind.PARTS, visit, writer.suffix), listed)
        beside[parts.name] = sha256(listed).hexdigest()
    kept = writer.write(technician_record(view.at(changed(view.state, handover=(name, digest))), zone))
    record = _put(folder / name_for(PaperKind.RECORD, visit, writer.suffix), kept)
    beside[record.name] = sha256(kept).hexdigest()
    return Papers(_put(folder / name, handover), digest, record, parts, beside)


def written(folder: Path, visit: int) -> tuple[str, ...]:
    """The names of a visit's papers that are in the folder, the customer's first."""
    names = (name_for(kind, visit) for kind in PaperKind)
    return tuple(name for name in names if (folder / name).is_file())


def seal(folder: Path, state: State, chain: str) -> bool:
    """Write the seal of the closed visit on its paper, if that has room for it and is the one handed over.

    True when it was written now. SteadfootError in plain words if the disk refuses.
    """
    name, digest = state.handover
    path = folder / name
    if not PAPER.fullmatch(name) or path.is_symlink() or not path.is_file():
        return False
    paper, writer = durable_io.load(path, Source.PAPER), writer_for(name)
    if paper_seal.digest(paper) != digest or not paper_seal.unsealed(paper, writer):
        return False
    _put(path, paper_seal.sealed(paper, chain, writer))
    return True


def _put(path: Path, data: bytes) -> Path:
    """Put a file in place durably; an earlier one of this visit is replaced."""
    try:
        durable_io.put(path, data)
    except OSError as error:
        why = error.strerror or str(error)
        raise SteadfootError(
            f"{path}: can't be written ({why}). The journal is whole. Mend the disk, then try again."
        ) from error
    return path
