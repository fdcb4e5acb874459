"""Which digit gives which answer of a step.

Where a step establishes what keeps people safe, or is done where the hands can be hurt, no digit may become a habit:
its answers are numbered without gaps, in an order turned so that the usual one never lies on the digit that answered
such a step last; and what lies there is only marked by it, and given by Enter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.domain.vocabulary import SignalWord, StepKind
from wizard.engine.queries.asked_ticks import asked_answers
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Answer, Flow, Inspection, Step

GRAVE = (SignalWord.DANGER, SignalWord.WARNING)
"""The words of a warning that hands can be hurt badly."""


@dataclass(frozen=True, slots=True)
class Numbered:
    """An answer and the digit that gives it."""

    digit: str
    answer: Answer


def deliberate(flow: Flow, inspection: Inspection, step: Step) -> bool:
    """True where a step establishes what keeps people safe, or its warnings are grave: where hands can be hurt."""
    if inspection.procedure or inspection.id in flow.procedures:
        return True
    return any(c.word in GRAVE for c in (*step.caution, *inspection.caution))


def numbering(view: JobView) -> tuple[Numbered, ...]:
    """The answers of the step on screen in their order there; none where no step is, or it has none to choose
    from.
    """
    run = view.state.run
    inspection = view.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(run.at) if run and inspection else None
    if inspection is None or step is None or not by_digit(step):
        return ()
    if step.many:
        return contiguous(asked_answers(view, inspection, step))
    if deliberate(view.flow, inspection, step):
        return turned(step, last_digit(view))
    return contiguous(in_order(step))


def repeated(view: JobView) -> Numbered | None:
    """The answer of the step on screen on whose digit the answer of such a step lay last: it wants Enter as well.

    None where no digit may become a habit, or none lies there.
    """
    run = view.state.run
    inspection = view.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(run.at) if run and inspection else None
    if inspection is None or step is None or step.many or not deliberate(view.flow, inspection, step):
        return None
    last = last_digit(view)
    return next((n for n in numbering(view) if n.digit == last), None)


def by_digit(step: Step) -> bool:
    """True for a step whose answers lie on digits."""
    return step.kind in (StepKind.LOOK, StepKind.CHOOSE)


def last_digit(view: JobView) -> str:
    """The digit that answered such a step last; empty where none did.

    What was taken back counts too, since its key was pressed; a correction doesn't, since it had no digit.
    """
    last = ""
    for given in view.state.answer_records:
        inspection = view.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection else None
        if inspection is None or step is None or given.instead_of:
            continue
        if by_digit(step) and not step.many and deliberate(view.flow, inspection, step):
            last = next((n.digit for n in turned(step, last) if (n.answer.id,) == given.chosen), last)
    return last


def turned(step: Step, last: str) -> tuple[Numbered, ...]:
    """The answers from 1 on, turned by one where the usual answer would lie on the digit ``last``."""
    shown = in_order(step)
    usual = step.usual or shown[0]
    if str(shown.index(usual) + 1) == last:
        shown = (*shown[1:], shown[0])
    return contiguous(shown)


def contiguous(shown: Sequence[Answer]) -> tuple[Numbered, ...]:
    """Answers numbered 1, 2, 3, ..."""
    return tuple(Numbered(str(n), a) for n, a in enumerate(shown, start=1))


def in_order(step: Step) -> tuple[Answer, ...]:
    """The answers as they stand on screen: yes before no, else as the file has them."""
    if step.kind is StepKind.LOOK and {a.id for a in step.answers} == {"yes", "no"}:
        return tuple(sorted(step.answers, key=lambda a: a.id, reverse=True))
    return step.answers
