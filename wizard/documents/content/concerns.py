"""Looks that were not good and that no repair dealt with."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import AnswerHow, Phase, RepairOutcome, StepKind, Verdict
from wizard.engine.state import queries
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow

_LOOKS = (StepKind.LOOK, StepKind.CHOOSE)
_DOUBTFUL = (Verdict.WATCH, Verdict.FAIL)


@dataclass(frozen=True, slots=True)
class Concern:
    """A look that was to be watched or not good, and that no repair dealt with."""

    title: str
    says: str
    verdict: Verdict


def concerns(view: JobView) -> tuple[Concern, ...]:
    """Looks with the verdict watch or fail, in the flow's order; measured values are not among them."""
    repaired = _repaired(view)
    found = []
    for inspection in view.flow.inspections.values():
        if inspection.procedure or inspection.id in repaired:
            continue
        for given in _standing(view.state, inspection.id):
            step = inspection.step(given.step)
            looked = step is not None and step.kind in _LOOKS and given.how is AnswerHow.ANSWER
            if looked and given.verdict in _DOUBTFUL:
                found.append(Concern(inspection.title, given.says, given.verdict))
    return tuple(found)


def _standing(state: State, inspection: str) -> tuple[AnswerRecord, ...]:
    """The answers of the latest run, each as it stands since: a step may have been asked again for another one."""
    runs = queries.runs_of(state, inspection, Phase.AFTER) or queries.runs_of(state, inspection, Phase.BEFORE)
    own = state.answers(runs[-1].id) if runs else ()
    alone = {r.id for r in state.runs if r.inspection == inspection and r.only}
    since = own[0].seq if own else 0
    again = (g for g in state.given if g.run in alone and not g.aside and g.seq > since)
    return tuple({g.step: g for g in sorted((*own, *again), key=lambda g: g.seq)}.values())


def _repaired(view: JobView) -> frozenset[str]:
    """The inspections that a repair made was about, so that what they found before is history."""
    places: list[str] = []
    for repair in view.state.repairs:
        fault = view.flow.faults.get(repair.fault)
        if repair.outcome is RepairOutcome.FITTED and fault:
            about = (*(p.inspection for p in repair.recheck), *(p.inspection for p in fault.confirm))
            places.extend(name for name in about if not _proof(view.flow, name))
    return frozenset(places)


def _proof(flow: Flow, name: str) -> bool:
    inspection = flow.inspections.get(name)
    return inspection is not None and inspection.after_only
