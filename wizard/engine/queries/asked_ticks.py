"""Which answers of a step with ticks are asked for: those whose condition isn't known."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.engine.queries import machine_queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Answer, Inspection, Step
from wizard.safety import Belief


def asked_answers(view: JobView, inspection: Inspection, step: Step) -> tuple[Answer, ...]:
    """The answers that are offered now.

    Of a procedure's step where several may be ticked those whose conditions aren't known; all where each is known. All
    of any other step.
    """
    if not step.many or inspection.id not in view.flow.procedures:
        return step.answers
    belief = machine_queries.belief(view)
    return tuple(a for a in step.answers if not _known(belief, a)) or step.answers


def against_the_known(view: JobView, passed: Sequence[Answer]) -> tuple[Answer, ...]:
    """Of the answers that aren't asked for those that are known not to be so."""
    belief = machine_queries.belief(view)
    return tuple(a for a in passed if not _so(belief, a))


def _known(belief: Belief, answer: Answer) -> bool:
    """True where it is known whether a usual answer is so: a tick of it, or none, would tell nothing new.

    What tells of harm is never usual, and can always be told.
    """
    told = [(belief.get(c, v), v) for c, v in answer.so.items()]
    return (
        answer.usual and bool(told) and all(known <= values or not known & values for known, values in told)
    )


def _so(belief: Belief, answer: Answer) -> bool:
    """True where the answer is known to be so."""
    return all(belief.get(c, values) <= values for c, values in answer.so.items())
