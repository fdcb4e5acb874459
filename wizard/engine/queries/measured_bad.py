"""What a measurement found bad, and stopped work for: no look clears it, and no word, but measuring it again.

Only where it can be measured while work is stopped for it: the step doesn't need what the stop latched.
"""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Verdict
from wizard.engine.state.job_state import Stoppage
from wizard.engine.state.job_view import JobView
from wizard.flow.model import JudgedStep
from wizard.flow.model.acts import step_needs


def to_measure(view: JobView, condition: str) -> StepRef | None:
    """The step that found a latched condition bad and didn't find it good since, or None where there is none."""
    released = max((r.seq for r in view.state.releases if r.condition == condition), default=0)
    found = dict.fromkeys(
        where
        for stoppage in view.state.stoppages
        if not stoppage.slip and stoppage.seq > released
        for where in _measured_by(view, stoppage, condition)
    )
    return next((where for where in found if not _good_since(view, where)), None)


def _measured_by(view: JobView, stoppage: Stoppage, condition: str) -> Iterator[StepRef]:
    """The step whose reading led to a stop that latched a condition, if one did."""
    stop, known = view.flow.stops.get(stoppage.stop), view.flow.conditions.get(condition)
    given = next((g for g in view.state.answer_records if g.seq == stoppage.entry), None)
    if stop is None or known is None or given is None or given.how is not AnswerHow.ANSWER:
        return
    where = given.ref
    step = view.flow.step(where)
    latched = stop.so.get(condition, frozenset()) & known.latch
    if latched and isinstance(step, JudgedStep) and condition not in step_needs(view.flow, step):
        yield where


def _good_since(view: JobView, where: StepRef) -> bool:
    """True where the last that was measured at a step, and counts, didn't fail: a reading put right is no measuring."""
    readings = [
        g for g in view.state.answer_records
        if (g.inspection, g.step) == (where.inspection, where.step) and not g.aside and g.how is AnswerHow.ANSWER
    ]  # fmt: skip
    return bool(readings) and readings[-1].verdict is not Verdict.FAIL and not readings[-1].instead_of
