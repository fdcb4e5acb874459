"""How what a step answers is known: measured, seen, or told."""

from __future__ import annotations

from wizard.documents.document_tree import Evidence
from wizard.domain.vocabulary import StepKind
from wizard.engine.state.job_state import AnswerRecord
from wizard.flow.model import Flow, Step

_MEASURED = (StepKind.MEASURE, StepKind.COMPUTE)
_SEEN = (StepKind.LOOK, StepKind.CHOOSE)


def step_evidence(flow: Flow, step: Step) -> Evidence:
    """What is answered where only words go was told; a step that only says what to do was done."""
    if step.kind in _MEASURED:
        return Evidence.MEASURED
    if step.kind not in _SEEN:
        return Evidence.DONE
    return Evidence.SEEN if flow.reaches[step.reach].needs else Evidence.TOLD


def answer_evidence(flow: Flow, given: AnswerRecord) -> Evidence | None:
    """The same of an answer; None where this flow has no such step."""
    inspection = flow.inspections.get(given.inspection)
    step = inspection.step(given.step) if inspection else None
    return step_evidence(flow, step) if step else None
