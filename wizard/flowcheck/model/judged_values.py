"""A reading that a step's limit judges as wanted: for cases and proofs that ask for a verdict."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from wizard.domain.vocabulary import Phase
from wizard.engine.measuring import judging
from wizard.engine.measuring.reading_input import within
from wizard.engine.state.job_state import ReadingRecord
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed
from wizard.flow.model import MeasureStep


def value_for(view: JobView, step: MeasureStep, verdict: str) -> float:
    """A reading (SI) that the step's limit judges so on this machine. CaseFailed when no value is."""
    for value in _candidates(view, step):
        slots = judging.slots(step.reading, view.state.facts)
        taken = [
            ReadingRecord(
                0, "", 0, 0, "", step.id, Phase.BEFORE, s.item, s.way, s.repeat, value, "", "", "", ""
            )
            for s in slots
        ]
        if judging.judge_readings(view, step, taken).answer == verdict:
            return value
    raise CaseFailed(f"No reading of {step.id} is judged {verdict}.")


def _candidates(view: JobView, step: MeasureStep) -> Iterator[float]:
    reading = step.reading
    if (usual := judging.usual_of(view, step)) is not None:
        yield usual
    limit = judging.limit_of(view, step)
    tops = [b.top for b in limit.bands if b.top is not None] if limit else []
    edges = sorted({reading.low, *(t for t in tops if within(reading, t)), reading.high})
    for low, high in pairwise(edges):
        yield from ((low + high) / 2, low, high)
