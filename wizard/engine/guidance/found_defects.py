"""What is defective here: faults that were seen or measured on the part itself, whatever explains the complaint.

The ranking asks which causes explain all that was found, and may explain one away by another. A part that was looked
at and found bad is bad all the same.
"""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.chosen_answers import only
from wizard.domain.vocabulary import AnswerHow, RepairOutcome, Verdict
from wizard.engine.state.fault_evidence import speaking
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Flow, JudgedStep, findings_of

SURE = 0.9
"""The evidence of a finding from which on it is taken as seen."""
OWN = 0.5
"""A finding points to the fault that shows it most, and to those that show it at least this share as often."""

MEASURED = "measured, it fails"
"""The words of a defect that a reading showed."""


@dataclass(frozen=True, slots=True)
class Defect:
    """A fault found on its own part: by which inspection, what was answered or read there, and by which answer."""

    fault: str
    says: str
    inspection: str
    words: str
    given: AnswerRecord


def defects(view: JobView) -> tuple[Defect, ...]:
    """The faults whose own checks found them, and that were not repaired since; in the flow's order."""
    kind = view.state.facts.get(view.flow.kind, "")
    faults = (f for f in view.flow.faults.values() if not f.alone and f.may_be(kind, view.state.facts))
    found = ((fault, _last(view, fault)) for fault in faults)
    return tuple(_defect(view.flow, fault, given) for fault, given in found if given is not None)


def against_no_fault(view: JobView) -> tuple[Defect, ...]:
    """The defects that speak against 'no fault': of faults that show in more than their own checks. What shows there
    alone (hoses that are due) is a hazard beside the complaint, and no cause of it.
    """
    flow = view.flow
    return tuple(d for d in defects(view) if _explains(flow, flow.faults[d.fault]))


def _explains(flow: Flow, fault: Fault) -> bool:
    own = findings_of([step for step in map(flow.step, fault.confirm) if step is not None])
    shows = {name for name, found in flow.findings.items() if found.weights.get(fault.id, 0.0) > 0.0}
    return bool(shows - own)


def _last(view: JobView, fault: Fault) -> AnswerRecord | None:
    """The last check that found the fault, or None: since its repair, where it was repaired, and unless the check was
    answered otherwise since. What was measured again and came out well counts as found no more, whatever was repaired.
    """
    fitted = (r for r in view.state.repairs if r.fault == fault.id and r.outcome is RepairOutcome.FITTED)
    since = max((r.seq for r in fitted), default=0)
    last = {g.ref: g.seq for g in view.state.answer_records if not g.aside and g.how is AnswerHow.ANSWER}
    checks = (
        g for g in speaking(view, fault) if fault.confirm and g.seq > since and last.get(g.ref) == g.seq
    )
    return next((g for g in reversed(tuple(checks)) if _own(view.flow, g, fault)), None)


def _own(flow: Flow, given: AnswerRecord, fault: Fault) -> bool:
    """True where a finding that was taken as seen points to this fault more than to others; of a reading, where it
    fails: one that is watched speaks for a fault, and shows none.
    """
    if given.verdict not in (None, Verdict.FAIL):
        return False
    seen = (flow.findings[f].weights for f, e in given.evidence.items() if e >= SURE and f in flow.findings)
    return any(weights.get(fault.id, 0.0) >= OWN * max(weights.values(), default=1.0) for weights in seen)


def _defect(flow: Flow, fault: Fault, given: AnswerRecord) -> Defect:
    inspection = flow.inspections[given.inspection]
    step = inspection.step(given.step)
    answer = step.answer(only(given.chosen)) if step is not None else None
    read = isinstance(step, JudgedStep)
    words = MEASURED if read else answer.says if answer is not None else given.says
    return Defect(fault.id, fault.says, inspection.title, words, given)
