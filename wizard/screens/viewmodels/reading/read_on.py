"""The reading that is read on: its next number is no new question."""

from __future__ import annotations

from collections.abc import Hashable

from wizard.engine.measuring import judging
from wizard.engine.state.job_view import JobView
from wizard.flow.model import MeasureStep


def read_on(view: JobView) -> Hashable | None:
    """What tells one reading from another while numbers of it are missing; None where no number is asked."""
    run = view.state.run
    if run is None:
        return None
    step = view.flow.inspections[run.inspection].step(run.at)
    if not isinstance(step, MeasureStep):
        return None
    missing = judging.missing(step.reading, view.state.facts, view.state.readings(run.id, run.at))
    answered = sum(g.step == run.at for g in view.state.answers(run.id))
    return (run.id, run.at, answered, view.state.shown) if missing else None
