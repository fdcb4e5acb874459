"""A job as it stood when its last decision was made: without what was answered and repaired since."""

from __future__ import annotations

from wizard.engine.state.job_state import AnswerRecord, State, changed
from wizard.engine.state.job_view import JobView


def decision_view(view: JobView) -> JobView:
    """The view with the answers and repairs of before the last decision alone; itself where nothing was decided.

    An answer that was corrected since counts in the place of the first: it is what was so then.
    """
    state, until = view.state, view.state.decided_seq
    if state.decided is None:
        return view
    given = tuple(g for g in state.answer_records if _first_given(state, g) < until)
    repairs = tuple(r for r in state.repairs if r.seq < until)
    return view.at(changed(state, answer_records=given, repairs=repairs))


def _first_given(state: State, given: AnswerRecord) -> int:
    """The event of the answer that this one stands for, through all its corrections."""
    before = {g.seq: g.instead_of for g in state.answer_records}
    seq = given.seq
    while before.get(seq):
        seq = before[seq]
    return seq
