"""What the customer said last when a repair was put to them."""

from __future__ import annotations

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView


def consent_given(view: JobView) -> AnswerRecord | None:
    """The last answer that stands and tells of consent, with the repair that it was given for; None of nobody asked."""
    return next((g for g in reversed(view.state.answer_records) if is_consent(view, g)), None)


def is_consent(view: JobView, given: AnswerRecord) -> bool:
    """True for an answer that stands and says whether the customer agrees."""
    inspection = view.flow.inspections.get(given.inspection)
    step = inspection.step(given.step) if inspection and not given.aside else None
    if step is None or given.how is not AnswerHow.ANSWER:
        return False
    return any(set(a.so) & set(view.flow.consent) for a in step.answers if (a.id,) == given.chosen)
