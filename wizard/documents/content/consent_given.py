"""What the customer said before a repair: the last answer to a step that asks for their consent."""

from __future__ import annotations

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.state.job_state import Repair
from wizard.engine.state.job_view import JobView


def consent_words(view: JobView, repair: Repair) -> str:
    """The words of the answer that was given for this repair, after the one before it; empty where nobody was asked."""
    flow = view.flow
    before = max((r.seq for r in view.state.repairs if r.seq < repair.seq), default=0)
    for given in reversed(view.state.answer_records):
        inspection = flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection and not given.aside else None
        if step is None or given.how is not AnswerHow.ANSWER or not before < given.seq < repair.seq:
            continue
        chosen = next((a for a in step.answers if (a.id,) == given.chosen), None)
        if chosen is not None and set(chosen.so) & set(flow.consent):
            return chosen.says
    return ""
