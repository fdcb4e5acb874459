"""Looks that are to be watched and that no repair dealt with."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.documents.content.step_evidence import step_evidence
from wizard.documents.document_tree import Evidence
from wizard.domain.vocabulary import AnswerHow, Phase, RepairOutcome, StepKind, Verdict
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow

_LOOKS = (StepKind.LOOK, StepKind.CHOOSE)


@dataclass(frozen=True, slots=True)
class Concern:
    """A look that is to be watched and that no repair dealt with, and how it is known."""

    title: str
    says: str
    evidence: Evidence


def concerns(view: JobView) -> tuple[Concern, ...]:
    """Looks with the verdict watch, each once, in the flow's order; measured values are not among them."""
    found = []
    for inspection in view.flow.inspections.values():
        for given in () if inspection.procedure else standing_answers(view.state, inspection.id):
            step = inspection.step(given.step)
            looked = step is not None and step.kind in _LOOKS and given.how is AnswerHow.ANSWER
            if looked and step and given.verdict is Verdict.WATCH and not dealt_with(view, given):
                known = step_evidence(view.flow, step, given.chosen)
                found.append(Concern(inspection.title, given.says, known))
    return tuple(dict.fromkeys(found))


def standing_answers(state: State, inspection: str) -> tuple[AnswerRecord, ...]:
    """The answers of the latest run, each as it stands since: a step may have been asked again for another one."""
    runs = inspection_queries.runs_of(state, inspection, Phase.AFTER) or inspection_queries.runs_of(
        state, inspection, Phase.BEFORE
    )
    own = state.answers(runs[-1].id) if runs else ()
    alone = {r.id for r in state.runs if r.inspection == inspection and r.only}
    since = own[0].seq if own else 0
    again = (g for g in state.answer_records if g.run in alone and not g.aside and g.seq > since)
    return tuple({g.step: g for g in sorted((*own, *again), key=lambda g: g.seq)}.values())


def dealt_with(view: JobView, given: AnswerRecord) -> bool:
    """True where a repair made since was about the inspection of this answer, so that it is history."""
    for repair in view.state.repairs:
        fault = view.flow.faults.get(repair.fault)
        if repair.outcome is RepairOutcome.FITTED and fault and repair.seq > given.seq:
            about = (*(p.inspection for p in repair.recheck), *(p.inspection for p in fault.confirm))
            if given.inspection in about and not _proof(view.flow, given.inspection):
                return True
    return False


def _proof(flow: Flow, name: str) -> bool:
    inspection = flow.inspections.get(name)
    return inspection is not None and inspection.after_only
