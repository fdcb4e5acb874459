"""Which answers speak for a fault: what a check of it gave, and whether that is evidence of it."""

from __future__ import annotations

from wizard.domain.vocabulary import AnswerHow, Phase, StepKind, Verdict
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault, Flow

LEAST = 0.5
"""The evidence from which on a finding counts as more likely there than not."""


def speaks(flow: Flow, given: AnswerRecord, fault: Fault, least: float = LEAST) -> bool:
    """True when the answer fails a test of the fault, or is evidence for a finding that the fault shows."""
    if given.verdict is Verdict.FAIL and given.ref in fault.confirm:
        return True
    shows = (f for f, e in given.evidence.items() if e >= least and f in flow.findings)
    return any(flow.findings[f].weights.get(fault.id, 0.0) > 0.0 for f in shows)


def speaking(view: JobView, fault: Fault) -> tuple[AnswerRecord, ...]:
    """The checks of a fault that were done with a result that speaks for it, oldest first; of any answer where the
    flow names none.

    What is computed in the same inspection counts as its check. What is confirmed alone (normal for its kind) shows
    no finding of its own: there it is enough that a check was done.
    """
    answers = (g for g in view.state.answer_records if not g.aside and g.how is AnswerHow.ANSWER)
    done = (g for g in answers if not fault.confirm or confirms(view.flow, g, fault))
    return tuple(g for g in done if fault.alone or speaks(view.flow, g, fault))


def denying(view: JobView, fault: Fault) -> tuple[AnswerRecord, ...]:
    """The fault's own checks, done before a repair, that speak against it, oldest first: passed, or nothing found of
    all that they ask for and the fault shows. None where one of them speaks for it, or it is confirmed alone.
    """
    if fault.alone or not fault.confirm or speaking(view, fault):
        return ()
    answers = (g for g in view.state.answer_records if not g.aside and g.how is AnswerHow.ANSWER)
    own = (g for g in answers if g.ref in fault.confirm and g.phase is Phase.BEFORE)
    return tuple(g for g in own if _denies(view.flow, g, fault))


def _denies(flow: Flow, given: AnswerRecord, fault: Fault) -> bool:
    of_it = (
        f for f in given.evidence if f in flow.findings and flow.findings[f].weights.get(fault.id, 0.0) > 0.0
    )
    shown = [given.evidence[f] for f in of_it]
    return bool(shown) and max(shown) < LEAST


def confirmed(view: JobView, fault: Fault) -> bool:
    """True when a check that confirms the fault was done and its answer speaks for it, or the flow asks for none."""
    return not fault.confirm or bool(speaking(view, fault))


def confirms(flow: Flow, given: AnswerRecord, fault: Fault) -> bool:
    """True when the answer is one of the fault's checks, or was computed where one of them is made."""
    if given.ref in fault.confirm:
        return True
    inspection = flow.inspections.get(given.inspection)
    step = inspection.step(given.step) if inspection else None
    beside = given.inspection in {where.inspection for where in fault.confirm}
    return beside and step is not None and step.kind is StepKind.COMPUTE
