"""At which places a fault was found: what was ticked where the place is asked behind a step that confirms it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, RepairOutcome
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Step


def places_found(view: JobView, fault: Fault) -> tuple[str, ...]:
    """The places in the words of the flow, small, each once, in their order: 'rear left'. None where none was asked.

    Only what was ticked before the fault was repaired counts: what is found after it is of what is left.
    """
    repaired = [
        r.seq for r in view.state.repairs if r.fault == fault.id and r.outcome is RepairOutcome.FITTED
    ]
    until = min(repaired, default=None)
    found = [
        says
        for given, step in _asked(view, fault)
        if until is None or given.seq < until
        for says in _ticked(given, step)
    ]
    return tuple(dict.fromkeys(found))


def _asked(view: JobView, fault: Fault) -> Iterator[tuple[AnswerRecord, Step]]:
    """The answers to steps that ask for a place, behind a step that confirms the fault."""
    before: dict[int, StepRef] = {}
    for given in view.state.answer_records:
        inspection = view.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection and not given.aside else None
        if step is not None and step.where and given.how is AnswerHow.ANSWER:
            if before.get(given.run) in fault.confirm:
                yield given, step
        elif not given.aside:
            before[given.run] = StepRef(given.inspection, given.step)


def _ticked(given: AnswerRecord, step: Step) -> Iterator[str]:
    return (a.says[:1].lower() + a.says[1:] for a in step.answers if a.id in given.chosen)
