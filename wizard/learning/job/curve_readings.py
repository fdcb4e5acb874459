"""The readings of a job that spoke by a limit's curve, as the ranking heard them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import outcome_of
from wizard.engine.state.job_state import AnswerRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, Limit, MeasureStep, bands_of
from wizard.learning.curves.curve_numbers import curve_name, variant_of
from wizard.measure.quantities.units import from_si, span_from_si

SAME = 1e-9
"""Evidence that differs by less is the same."""


@dataclass(frozen=True, slots=True)
class CurveReading:
    """A reading that spoke for a finding by how far it was off; of like parts the one furthest off.

    ``limit`` and ``variant``: what it was judged by (`curve_numbers`); ``inspection``: where it was made; ``value`` and
    its standard ``uncertainty`` in ``unit``, the limit's; ``evidence``: what it came to for the finding by itself, 0 to
    1.
    """

    limit: str
    variant: str
    inspection: str
    finding: str
    unit: str
    value: float
    uncertainty: float
    evidence: float

    @property
    def curve(self) -> str:
        """The name of the curve by which it spoke."""
        return curve_name(self.limit, self.variant)


def curve_readings(view: JobView, given: Iterable[AnswerRecord]) -> tuple[CurveReading, ...]:
    """Return the readings behind these answers that spoke by a curve.

    Left out: what lies outside its step's range, what a service sheet judged, and what can't be computed again to the
    evidence that the answer holds.
    """
    return tuple(reading for one in given for reading in _of_answer(view, one))


def _of_answer(view: JobView, given: AnswerRecord) -> Iterator[CurveReading]:
    """The readings of one answer, one for each finding of a curve."""
    step = view.flow.step(given.ref)
    if given.how is not AnswerHow.ANSWER or not isinstance(step, MeasureStep | ComputeStep):
        return
    limit = judging.limit_of(view, step)
    outcome = outcome_of(view, given, step) if isinstance(limit, Limit) else None
    if outcome is None or limit is None or any(item.doubted for item in outcome.items):
        return
    for finding, bands in bands_of(step).items():
        curves = judging.graded_curves(limit, bands, view.flow.severity)
        off = judging.graded_item(outcome.items, curves)
        e = given.evidence.get(finding)
        if off is None or e is None or abs(e - outcome.evidence[finding]) > SAME:
            continue
        yield CurveReading(
            limit.id, variant_of(limit.applies), given.inspection, finding, limit.unit,
            from_si(off.item.mean, limit.unit), span_from_si(off.item.uncertainty, limit.unit), float(e),
        )  # fmt: skip
