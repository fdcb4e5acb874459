"""Why a repair that was made is not proved, and what would prove it."""

from __future__ import annotations

from wizard.documents.document_tree import BulletList, Evidence, ListItem, Paragraph, Section, stated
from wizard.documents.text.proof_text import gap_words, proof_words, unproved
from wizard.domain.vocabulary import InspectionResult
from wizard.engine.state.job_view import JobView


def proof_section(view: JobView) -> Section | None:
    """The section of both papers; None where the repair is proved, or none was made."""
    gaps = unproved(view)
    if not gaps:
        return None
    items = tuple(ListItem((stated(gap_words(view.flow, gap), evidence=_known(gap.result)),)) for gap in gaps)
    close = Paragraph((stated(proof_words(view.flow, gaps), evidence=Evidence.ADVICE),))
    return Section("Not proved, because", (BulletList(items), close))


def _known(result: InspectionResult) -> Evidence:
    return Evidence.RECORDED if result is InspectionResult.FAIL else Evidence.NOT_LOOKED_AT
