"""At which places a fault was found: what was ticked where the place is asked behind a step that confirms it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, RepairOutcome
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Step


def places_found(view: JobView, fault: Fault) -> tuple[str, ...]:
    """The places in the words of the flow, small, each once, in their order: 'rear left'. None where none was asked."""
    steps = ((given, view.flow.step(given.ref)) for given in places_asked(view, fault))
    found = (says for given, step in steps if step is not None for says in _ticked(given, step))
    return tuple(dict.fromkeys(found))


def places_asked(view: JobView, fault: Fault) -> tuple[AnswerRecord, ...]:
    """The answers in which places were ticked, oldest first.

    Only what was ticked before the fault was repaired counts: what is found after it is of what is left.
    """
    repaired = [
        r.seq for r in view.state.repairs if r.fault == fault.id and r.outcome is RepairOutcome.FITTED
    ]
    until = min(repaired, default=None)
    return tuple(given for given in _asked(view, fault) if until is None or given.seq < until)


def _asked(view: JobView, fault: Fault) -> Iterator[AnswerRecord]:
    """The answers to steps that ask for a place, behind a step that confirms the fault."""
    before: dict[int, StepRef] = {}
    for given in view.state.answer_records:
        inspection = view.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection and not given.aside else None
        if step is not None and step.where and given.how is AnswerHow.ANSWER:
            if before.get(given.run) in fault.confirm:
                yield given
        elif not given.aside:
            before[given.run] = StepRef(given.inspection, given.step)


def _ticked(given: AnswerRecord, step: Step) -> Iterator[str]:
    return (a.says[:1].lower() + a.says[1:] for a in step.answers if a.id in given.chosen)
