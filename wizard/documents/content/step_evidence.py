"""How what a step answers is known: as the flow says of the answer, the condition or the step; else by its kind."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from wizard.documents.document_tree import Evidence
from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.vocabulary import StepKind
from wizard.engine.state.job_state import AnswerRecord
from wizard.flow.model import Answer, Flow, Step

_MEASURED = (StepKind.MEASURE, StepKind.COMPUTE)
_SEEN = (StepKind.LOOK, StepKind.CHOOSE)

_EVIDENCE: Mapping[KnownBy, Evidence] = {
    KnownBy.MEASURED: Evidence.MEASURED,
    KnownBy.SEEN: Evidence.SEEN,
    KnownBy.RECORDED: Evidence.FROM_RECORDING,
    KnownBy.DONE: Evidence.DONE,
    KnownBy.DECIDED: Evidence.RECORDED,
    KnownBy.TOLD: Evidence.TOLD,
    KnownBy.PRESUMED: Evidence.PRESUMED,
}
"""How each word of a flow is said on a paper, the best known first."""


def step_evidence(flow: Flow, step: Step, chosen: Collection[str] = (), condition: str = "") -> Evidence:
    """How what was answered here is known; of ``chosen`` answers (ids) as they are, of several the least known.

    With a ``condition``: how that is known, of which these answers tell.
    """
    of_condition = step.known_of.get(condition) or step.known
    told = [a for a in step.answers if _tells(a, chosen, condition)]
    sources = [a.known_of.get(condition) or a.known or of_condition for a in told] or [of_condition]
    known = {_EVIDENCE[by] if by else _by_kind(flow, step) for by in sources}
    return [evidence for evidence in _EVIDENCE.values() if evidence in known][-1]


def _tells(answer: Answer, chosen: Collection[str], condition: str) -> bool:
    """True for an answer that was given; with a condition, for one that tells of it, ticked or left alone."""
    given = answer.id in chosen
    return condition in (answer.so if given else answer.unticked_so) if condition else given


def _by_kind(flow: Flow, step: Step) -> Evidence:
    """What is answered where only words go was told; a step that only says what to do was done."""
    if step.kind is StepKind.RECORD:
        return Evidence.FROM_RECORDING
    if step.kind in _MEASURED:
        return Evidence.MEASURED
    if step.kind not in _SEEN:
        return Evidence.DONE
    return Evidence.SEEN if flow.reaches[step.reach].needs else Evidence.TOLD


def answer_evidence(flow: Flow, given: AnswerRecord, condition: str = "") -> Evidence | None:
    """The same of an answer, which a recording may have given; None where this flow has no such step."""
    if given.recording:
        return Evidence.FROM_RECORDING
    inspection = flow.inspections.get(given.inspection)
    step = inspection.step(given.step) if inspection else None
    return step_evidence(flow, step, given.chosen, condition) if step else None
