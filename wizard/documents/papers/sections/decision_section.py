"""The decision, and what became of each confirmed fault."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.documents.content.fault_known_by import denied_by, evidence_of, presumed
from wizard.documents.content.part_counts import part_words
from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Evidence,
    ListItem,
    Paragraph,
    Section,
    Text,
    phrase,
    stated,
    strong,
)
from wizard.documents.papers.sections.repairs_section import NOT_HELD, once_more, remedy_words
from wizard.documents.text.formatting import sentence
from wizard.documents.text.outcome_text import repair_word
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.job_state import Repair
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Flow


def decision_section(view: JobView) -> Section | None:
    """Faults, those presumed apart, and their repairs; None before the decision."""
    state = view.state
    if state.decided is None:
        return None
    blocks: list[Block] = [Paragraph(_decided(view, state.decided))]
    if state.repairs:
        items = (_repair(view, view.flow.faults.get(r.fault), r) for r in state.repairs)
        blocks.append(BulletList(tuple(items)))
    return Section("Decision and repair", tuple(blocks))


def _decided(view: JobView, decided: Sequence[str]) -> Text:
    flow = view.flow
    guessed = [f for f in decided if f in flow.faults and presumed(view, flow.faults[f])]
    sure = [f for f in decided if f not in guessed]
    confirmed = ", ".join(f"{flow.faults[f].says} ({_how(view, f)})" if f in flow.faults else f for f in sure)
    text = [stated(f"Confirmed: {confirmed}.", evidence=Evidence.RECORDED)] if sure else []
    if not decided:
        text.append(
            stated(f"No fault was confirmed: {search_coverage(view).words}.", evidence=Evidence.RECORDED)
        )
    if guessed:
        text.append(phrase(f"Decided on: {_names(flow, guessed)}.", evidence=Evidence.PRESUMED))
        text += [one for f in guessed if f in flow.faults for one in denied_by(view, flow.faults[f])]
    if view.state.decided_words:
        text.append(phrase(f"In our words: {sentence(view.state.decided_words)}"))
    return tuple(text)


def _names(flow: Flow, faults: Sequence[str]) -> str:
    return ", ".join(flow.faults[f].says if f in flow.faults else f for f in faults)


def _how(view: JobView, fault: str) -> str:
    """How a confirmed fault is known, in a word."""
    return evidence_of(view, view.flow.faults[fault]).value


def _repair(view: JobView, fault: Fault | None, r: Repair) -> ListItem:
    parts = part_words(r.parts, fault)
    statement = phrase(
        f"Visit {r.visit}, {once_more(view, r)}{remedy_words(view, fault, r, alone=False)}: ",
        strong(repair_word(view.flow, r.fault, r.outcome, r.alternative)),
        f"; parts: {parts}" if parts else "",
    )
    risk = fault.remedy.risk if fault and r.outcome is RepairOutcome.DECLINED else ""
    under = [NOT_HELD] if r.failed else []
    under += [f"Words: {sentence(r.reason)}"] if r.reason else []
    under += [f"Risk told: {sentence(risk)}"] if risk else []
    return ListItem((statement,), tuple(ListItem((phrase(u),)) for u in under))
