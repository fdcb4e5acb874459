"""How a fault is known: whether one of the checks that confirm it speaks for it, and whether that was measured."""

from __future__ import annotations

from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.content.step_evidence import answer_evidence
from wizard.documents.document_tree import Evidence, Sentence, stated
from wizard.engine.state.fault_evidence import denying, speaking
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault


def presumed(view: JobView, fault: Fault) -> bool:
    """True when no check of the fault was done with a result that speaks for it. What excludes all others is presumed
    while any part of the search was not looked at: no check shows that nothing else is there.
    """
    return not speaking(view, fault) or (fault.alone and not search_coverage(view).whole)


def evidence_of(view: JobView, fault: Fault) -> Evidence:
    """How a fault is known: measured, seen, recorded or told, the best of what speaks for it; presumed where
    nothing does.
    """
    if presumed(view, fault):
        return Evidence.PRESUMED
    known = {answer_evidence(view.flow, given) for given in speaking(view, fault)}
    best = (
        e for e in (Evidence.MEASURED, Evidence.SEEN, Evidence.FROM_RECORDING, Evidence.TOLD) if e in known
    )
    return next(best, Evidence.PRESUMED)


def denied_by(view: JobView, fault: Fault) -> tuple[Sentence, ...]:
    """That its own checks were done and spoke against it, in a sentence for each inspection; none where none did."""
    found = {given.inspection: answer_evidence(view.flow, given) for given in denying(view, fault)}
    return tuple(
        stated(
            f"Its own check spoke against it: {view.flow.title_of(where)}.", evidence=known or Evidence.SEEN
        )
        for where, known in found.items()
    )
