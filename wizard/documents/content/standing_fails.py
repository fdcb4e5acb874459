"""What failed and still stands: no confirmed fault is about it, and no repair came after it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.documents.content.concerns import dealt_with, standing_answers
from wizard.documents.content.measurements import judged_in, worst_of
from wizard.documents.content.step_evidence import step_evidence
from wizard.documents.document_tree import Evidence
from wizard.documents.text.limit_text import good_range, value
from wizard.domain.vocabulary import AnswerHow, RepairOutcome, Verdict
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import unit_of
from wizard.engine.queries import inspection_queries
from wizard.engine.state.fault_evidence import confirms, speaks
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection, Step


@dataclass(frozen=True, slots=True)
class StandingFail:
    """One fail in words, how it is known, and what the flow advises, where it names a remedy for it. ``after``: it was
    found after something had been repaired.
    """

    says: str
    evidence: Evidence
    advice: str
    after: bool = False


def standing_fails(view: JobView) -> tuple[StandingFail, ...]:
    """The fails that nothing was done about and that no confirmed fault stands for, in the flow's order."""
    return tuple(_fails(view))


def _fails(view: JobView) -> Iterator[StandingFail]:
    for inspection in view.flow.inspections.values():
        for given in () if inspection.procedure else standing_answers(view.state, inspection.id):
            step = inspection.step(given.step)
            failed = given.verdict is Verdict.FAIL and given.how is AnswerHow.ANSWER
            if step and failed and not dealt_with(view, given) and not _stood_for(view, given):
                yield StandingFail(
                    _words(view, inspection, step, given),
                    step_evidence(view.flow, step, given.chosen),
                    _advice(view, given),
                    inspection_queries.after_repair(view, given.seq),
                )


def _stood_for(view: JobView, given: AnswerRecord) -> bool:
    """True where a confirmed fault shows this, and was not repaired before it was seen."""
    repaired = {
        r.fault for r in view.state.repairs if r.outcome is RepairOutcome.FITTED and r.seq < given.seq
    }
    decided = (view.flow.faults[f] for f in view.state.decided or () if f in view.flow.faults)
    return any(speaks(view.flow, given, f) for f in decided if f.id not in repaired)


def _words(view: JobView, inspection: Inspection, step: Step, given: AnswerRecord) -> str:
    run, limit = view.state.find_run(given.run), judging.limit_of(view, step)
    worst = worst_of(judged_in(view, run, step), limit) if run and limit else None
    if limit is None or worst is None:
        return f"{inspection.title}: {given.says or given.text}, not good"
    due = good_range(limit)
    return (
        f"{limit.says}: {value(worst, unit_of(view, step))}, not good{f'; it should be {due}' if due else ''}"
    )


def _advice(view: JobView, given: AnswerRecord) -> str:
    """The remedy of the first fault that this is a check of; empty where the flow has none."""
    flow = view.flow
    kind = view.state.facts.get(flow.kind, "")
    mine = (
        f
        for f in flow.faults.values()
        if f.may_be(kind, view.state.facts) and not f.alone and confirms(flow, given, f)
    )
    return next((f.remedy.says for f in mine if speaks(flow, given, f)), "")
