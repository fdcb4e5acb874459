"""How a fault is known: whether one of the checks that confirm it speaks for it, and whether that was measured."""

from __future__ import annotations

from wizard.documents.document_tree import Evidence
from wizard.domain.vocabulary import StepKind
from wizard.engine.state.fault_evidence import speaking
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Flow


def presumed(view: JobView, fault: Fault) -> bool:
    """True when the flow names checks that confirm the fault, and none was done with a result that speaks for it."""
    return bool(fault.confirm) and not speaking(view, fault)


def evidence_of(view: JobView, fault: Fault) -> Evidence | None:
    """Measured or seen where a check speaks for the fault, presumed where none does; None where the flow names
    none.
    """
    if not fault.confirm:
        return None
    given = speaking(view, fault)
    if not given:
        return Evidence.PRESUMED
    return Evidence.MEASURED if any(_measured(view.flow, g) for g in given) else Evidence.SEEN


def _measured(flow: Flow, given: AnswerRecord) -> bool:
    inspection = flow.inspections.get(given.inspection)
    step = inspection.step(given.step) if inspection else None
    return step is not None and step.kind in (StepKind.MEASURE, StepKind.COMPUTE)
