"""How the work of a repair is reached on this machine: as usual, or as an answer said."""

from __future__ import annotations

from wizard.domain.references import RepairRef, StepRef
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Approach, Fault, fits


def approach_of(view: JobView, fault: Fault) -> Approach | None:
    """The approach that the last answers speak of; None for the usual way."""
    for by in fault.remedy.approaches:
        given = [g for g in view.state.answer_records if g.ref == by.step and not g.aside]
        if given and by.answer in given[-1].chosen:
            return by
    return None


def unasked_approach(view: JobView, fault: Fault) -> StepRef | None:
    """The step that says how the work is reached, where nobody answered it yet: hands that are never asked which way
    they go would go by the usual one's needs. None where the remedy has one way, or the step is not of this machine.
    """
    for by in fault.remedy.approaches:
        inspection = view.flow.inspections.get(by.step.inspection)
        if inspection is None or not fits(inspection.applies, view.state.facts):
            continue
        if not any(g.ref == by.step and g.chosen and not g.aside for g in view.state.answer_records):
            return by.step
    return None


def repair_ref(view: JobView, fault_id: str) -> RepairRef:
    """What the model of the machine knows a repair by: the fault, and how it is reached here."""
    fault = view.flow.faults.get(fault_id)
    by = approach_of(view, fault) if fault is not None else None
    return RepairRef(fault_id, by.id if by else "")


def repair_reach(view: JobView, fault: Fault) -> str:
    """Where the hands go for it on this machine: the id of a reach."""
    by = approach_of(view, fault)
    return by.reach if by else fault.remedy.reach
