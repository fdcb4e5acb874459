"""No step that tells a finding is answered as usual without a word: each needs a rule."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from wizard.domain.references import StepRef
from wizard.flow.model import Flow, findings_of
from wizard.flow.model.steps import ComputeStep, RecordStep


def uncovered(flow: Flow, covered: Collection[StepRef]) -> Iterator[str]:
    """Yield what to say of each step that tells a finding, itself or by what is computed of it, and has no rule."""
    for where in evidence_steps(flow):
        if where not in covered:
            yield f"{where} tells a finding, and nothing here answers it: add a [[sense]], [[tick]] or [[chance]]"


def evidence_steps(flow: Flow) -> tuple[StepRef, ...]:
    """Return the steps by whose answers or readings a finding is told, in the flow's order, each once; no practice
    machine is recorded.
    """
    found: dict[StepRef, None] = {}
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            if isinstance(step, RecordStep) or not findings_of((step,)):
                continue
            own = (StepRef(inspection.id, step.id),)
            found |= dict.fromkeys(step.compute.inputs.values() if isinstance(step, ComputeStep) else own)
    return tuple(found)
