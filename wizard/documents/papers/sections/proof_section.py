"""Why a repair that was made is not proved, and what would prove it; what failed where no fault was confirmed."""

from __future__ import annotations

from wizard.documents.document_tree import BulletList, Evidence, ListItem, Paragraph, Section, stated
from wizard.documents.text.proof_text import (
    LOOK_ON,
    UNEXPLAINED,
    ending,
    left_out_at_the_end,
    proof_words,
    unfinished_words,
    unproved,
)
from wizard.domain.vocabulary import InspectionResult, JobOutcome, RepairOutcome
from wizard.engine.queries import proof_queries
from wizard.engine.queries.proving import UnfinishedProof
from wizard.engine.state.job_view import JobView


def proof_section(view: JobView) -> Section | None:
    """The section of both papers; None where the repair is proved, or none was made and nothing failed."""
    gaps = unproved(view)
    if not gaps:
        return _not_checked(view)
    items = tuple(
        ListItem((stated(unfinished_words(view.flow, gap), evidence=_known(gap.result)),)) for gap in gaps
    )
    if ending(view) is JobOutcome.UNEXPLAINED:
        known = stated(UNEXPLAINED, evidence=Evidence.RECORDED), stated(LOOK_ON, evidence=Evidence.ADVICE)
        return Section("Seen at the end", (BulletList(items), Paragraph(known)))
    close = Paragraph((stated(proof_words(view, gaps), evidence=Evidence.ADVICE),))
    return Section("Not proved, because", (BulletList(items), *_nothing_else(view, gaps), close))


def _not_checked(view: JobView) -> Section | None:
    """What is checked before one leaves, and was left out, where nothing was repaired."""
    items = tuple(
        ListItem((stated(unfinished_words(view.flow, gap), evidence=Evidence.NOT_LOOKED_AT),))
        for gap in left_out_at_the_end(view)
    )
    return Section("Not checked before we left", (BulletList(items),)) if items else None


def _nothing_else(view: JobView, gaps: tuple[UnfinishedProof, ...]) -> tuple[Paragraph, ...]:
    """That nothing else was confirmed, where that was decided after the proof had failed."""
    fitted = [r.seq for r in view.state.repairs if r.outcome is RepairOutcome.FITTED]
    failed = any(gap.result is InspectionResult.FAIL for gap in gaps)
    if not failed or proof_queries.failed_proof(view) or view.state.decided_seq <= max(fitted, default=0):
        return ()
    words = "After that it was decided what is left: nothing else was confirmed."
    return (Paragraph((stated(words, evidence=Evidence.RECORDED),)),)


def _known(result: InspectionResult) -> Evidence:
    return Evidence.RECORDED if result is InspectionResult.FAIL else Evidence.NOT_LOOKED_AT
