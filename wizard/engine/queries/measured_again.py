"""One step measured again after a repair: where it is well, nothing else of its inspection is asked anew."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.references import StepRef, Target
from wizard.domain.vocabulary import Verdict
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.safety.flow_rules import LEFT_IN_USE
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, Inspection, Step
from wizard.flow.model.steps import DONE


def measured_again(
    view: JobView,
    run: Run,
    step: Step,
    chosen: tuple[str, ...],
    verdict: Verdict | None,
    belief: Mapping[str, frozenset[str]],
) -> bool:
    """True where an answer ends the run that a repair asks of one step: all was well, nothing more is computed from
    what it read, and it leaves nothing as a machine in use may not be left. ``belief``: what the answer makes so.
    """
    owed = inspection_queries.rechecks(view.state)
    if run.only or Target(run.inspection, run.asked) not in owed or Target(run.inspection) in owed:
        return False
    inspection = view.flow.inspections[run.inspection]
    mine = _asked_and_computed(inspection, run.asked)
    before = (g.verdict for g in view.state.answers(run.id))
    well = _well(step, chosen, verdict) and all(one in (None, Verdict.PASS) for one in before)
    last = step.id in mine and step.id == mine[-1]
    return well and last and not _left_undone(view, inspection, run.asked, belief)


def _asked_and_computed(inspection: Inspection, asked: str) -> tuple[str, ...]:
    """The step that is asked, and those that compute from it, in order."""
    found = [asked]
    for step in inspection.steps:
        if isinstance(step, ComputeStep):
            refs = step.compute.inputs.values()
            if any(StepRef(inspection.id, name) in refs for name in found):
                found.append(step.id)
    return tuple(found)


def _well(step: Step, chosen: tuple[str, ...], verdict: Verdict | None) -> bool:
    usual = step.usual is not None and chosen == (step.usual.id,)
    return usual or verdict is Verdict.PASS or chosen == (DONE,)


def _left_undone(
    view: JobView, inspection: Inspection, asked: str, belief: Mapping[str, frozenset[str]]
) -> bool:
    """True where the step took something off, or apart, that no machine in use is left with; what is only not known any
    more is asked by itself.
    """
    step, row = inspection.step(asked), view.flow.reaches.get(LEFT_IN_USE)
    if step is None or row is None:
        return False
    now = {**machine_queries.belief(view), **belief}
    return any(c in now and not now[c] & values for c, values in row.needs.items() if c in step.may)
