"""The parts order of a visit that ends with parts on order."""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.documents.content import part_counts
from wizard.documents.content.consent_given import consent_words
from wizard.documents.document_tree import (
    Block,
    Document,
    KeyValue,
    KeyValues,
    Paragraph,
    Section,
    Table,
    phrase,
)
from wizard.documents.papers.sections.machine_facts import fact_pairs, not_noted
from wizard.documents.papers.sections.repairs_section import remedy_words, repairs_ended
from wizard.documents.text.formatting import day, sentence
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.fault_evidence import confirmed
from wizard.engine.state.job_state import JobVisit, Repair
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault


def parts_order(view: JobView, zone: tzinfo = UTC) -> Document | None:
    """The parts to order for the repairs that wait for them; None where none does."""
    state = view.state
    waiting = repairs_ended(state, RepairOutcome.ON_ORDER)
    if not waiting:
        return None
    pairs = (*fact_pairs(view), *not_noted(view))
    blocks: tuple[Block, ...] = (
        *((_visit(state.visit, zone),) if state.visit else ()),
        *((KeyValues(pairs),) if pairs else ()),
        *(_repair(view, view.flow.faults.get(r.fault), r) for r in waiting),
        Paragraph((phrase("Check every part number against the maker's list for this model."),)),
    )
    return Document(f"Parts to order: job {state.session}", blocks)


def _visit(visit: JobVisit, zone: tzinfo) -> Paragraph:
    ticket = f", ticket {visit.ticket}" if visit.ticket else ""
    who = visit.who or "-"
    return Paragraph((phrase(f"Visit {visit.number}, {day(visit.began, zone)}, {who}{ticket}"),))


def _repair(view: JobView, fault: Fault | None, repair: Repair) -> Section:
    found = part_counts.named(repair.parts, fault)
    rows = [(str(p.count), p.says, p.id) for p in found] or [("-", "none named", "-")]
    cells = tuple(tuple(phrase(cell) for cell in row) for row in rows)
    pairs = [
        KeyValue("Along with it", phrase(sentence(c))) for c in (fault.remedy.companions if fault else ())
    ]
    words = consent_words(view, repair)
    pairs += [KeyValue("The customer said", phrase(sentence(words)))] if words else []
    pairs += [KeyValue("Note", phrase(sentence(repair.note)))] if repair.note else []
    if fault is not None and repair.reason and not confirmed(view, fault):
        pairs.append(KeyValue("Presumed: no check of it speaks for it", phrase(sentence(repair.reason))))
    beside = (KeyValues(tuple(pairs)),) if pairs else ()
    return Section(remedy_words(view, fault, repair), (Table(("Count", "Part", "Id"), cells), *beside))
