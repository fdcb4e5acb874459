"""How a fault is known: whether one of the checks that confirm it speaks for it, and whether that was measured."""

from __future__ import annotations

from wizard.documents.content.step_evidence import answer_evidence
from wizard.documents.document_tree import Evidence
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.state.fault_evidence import checks, speaks
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault


def presumed(view: JobView, fault: Fault) -> bool:
    """True when nothing that was answered speaks for the fault by one of its checks; of any answer where the flow
    names none.

    What is computed in the same inspection counts as its check. What is confirmed alone (normal for its kind) shows
    no finding of its own: there it is enough that a check was done.
    """
    return not _speaking(view, fault)


def evidence_of(view: JobView, fault: Fault) -> Evidence:
    """How a fault is known: measured, seen or told, the best of what speaks for it; presumed where nothing does."""
    known = {answer_evidence(view.flow, given) for given in _speaking(view, fault)}
    best = (e for e in (Evidence.MEASURED, Evidence.SEEN, Evidence.TOLD) if e in known)
    return next(best, Evidence.PRESUMED)


def _speaking(view: JobView, fault: Fault) -> tuple[AnswerRecord, ...]:
    """The checks of a fault that were done with a result that speaks for it."""
    answers = (g for g in view.state.given if not g.aside and g.how is AnswerHow.ANSWER)
    done = (g for g in answers if not fault.confirm or checks(view.flow, g, fault))
    return tuple(g for g in done if fault.alone or speaks(view.flow, g, fault))
