"""The annex for the shop: the technician's whole record, with what was measured first and the record's seals last."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import tzinfo

from wizard.documents.document_tree import Block, KeyValue, KeyValues, Paragraph, Section, code, phrase
from wizard.documents.papers.sections.measurement_table import measurement_section
from wizard.documents.papers.technician_record import technician_record
from wizard.engine.state.job_view import JobView
from wizard.journal.sealed_block import grouped

TITLE = "Annex for the shop: the whole record"


@dataclass(frozen=True, slots=True)
class RecordSeal:
    """The chain of a session's journal: how many events it has, the chain value of the last, and of the event that
    closed the visit (hex; empty where none did).
    """

    events: int
    last: str
    closing: str


def shop_annex(view: JobView, seal: RecordSeal, zone: tzinfo) -> tuple[Block, ...]:
    """The blocks of the annex; times are shown in ``zone``."""
    record = technician_record(view, zone, drawn=True)
    blocks = (*record.blocks[:1], measurement_section(view), *record.blocks[1:], _chain(view, seal))
    return tuple(block for block in blocks if block is not None)


def _chain(view: JobView, seal: RecordSeal) -> Section:
    printed = grouped(seal.closing) if seal.closing else ""
    pairs = [
        KeyValue("Events in the journal", phrase(str(seal.events))),
        KeyValue("Chain value of the last", phrase(code(seal.last))),
        KeyValue("Seal", phrase(code(printed)) if printed else phrase("none: the visit is not closed")),
    ]
    how = [
        phrase(
            "Each event is sealed by a chain of SHA-256 over all before it. This checks the record against the seal: "
        )
    ]
    if printed:
        how.append(phrase(code(f'steadfoot session verify {view.state.session} --printed "{printed}"')))
    return Section(
        "Seal and chain", (KeyValues(tuple(pairs)), *((Paragraph(tuple(how)),) if printed else ()))
    )
