"""Steps of which only some numbers were read, or that were left after some were: how many of how many, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.measuring import judging
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import MeasureStep, Step


@dataclass(frozen=True, slots=True)
class PartialReading:
    """One step: of what it is a reading, how many numbers were read of how many, and the reason that was given."""

    says: str
    taken: int
    wanted: int
    reason: str

    @property
    def words(self) -> str:
        """'2 of 6 numbers were read; then it was left: no phone'."""
        lead = f"{self.taken} of {self.wanted} numbers were read"
        return f"{lead}; then it was left{f': {self.reason}' if self.reason else ''}"


def partial_reading(view: JobView, run: Run, step: Step) -> PartialReading | None:
    """A step as it was read in one run; None where nothing was read, where all was, and where it is still open."""
    if not isinstance(step, MeasureStep):
        return None
    taken = view.state.readings(run.id, step.id)
    given = [g for g in view.state.answers(run.id) if g.step == step.id]
    if not taken or not given:
        return None
    missing = judging.missing(step.reading, view.state.facts, taken)
    if not missing and given[-1].how is AnswerHow.ANSWER:
        return None
    limit = judging.limit_of(view, step)
    says = limit.says if limit else view.flow.inspections[run.inspection].title
    wanted = len(judging.slots(step.reading, view.state.facts))
    return PartialReading(says, wanted - len(missing), wanted, given[-1].reason)


def partial_readings(view: JobView) -> Iterator[PartialReading]:
    """Those of every run of an inspection on the machine's faults, in the flow's order."""
    for inspection in view.flow.inspections.values():
        for run in () if inspection.procedure else inspection_queries.runs_of(view.state, inspection.id):
            for step in inspection.steps:
                if found := partial_reading(view, run, step):
                    yield found
