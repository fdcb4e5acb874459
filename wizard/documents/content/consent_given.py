"""What the customer said before a repair: the last answer to a step that asks for their consent."""

from __future__ import annotations

from wizard.engine.state.asked_consent import is_consent
from wizard.engine.state.job_state import Repair
from wizard.engine.state.job_view import JobView


def consent_words(view: JobView, repair: Repair) -> str:
    """The words of the answer that was given for this repair, after the one before it; empty where nobody was asked."""
    before = max((r.seq for r in view.state.repairs if r.seq < repair.seq), default=0)
    for given in reversed(view.state.answer_records):
        own = given.goal == repair.fault and before < given.seq < repair.seq
        if own and is_consent(view, given):
            step = view.flow.step(given.ref)
            chosen = step.answer(given.chosen[0]) if step else None
            return chosen.says if chosen else ""
    return ""
