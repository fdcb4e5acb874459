"""What readings say by a flow's curves as they are now, in place of what they said when they were made."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import chain

from wizard.engine.measuring.judging import graded_curves
from wizard.flow.model import Flow, bands_of, limit_id
from wizard.learning.curves.curve_numbers import curved_limits
from wizard.learning.job.curve_readings import CurveReading
from wizard.learning.observation import NOTHING_LEARNT, Observation
from wizard.measure.quantities.units import span_to_si, to_si
from wizard.measure.uncertainty import grading

Bands = Mapping[tuple[str, str, str], tuple[str, ...]]
"""By limit, inspection and finding: the bands that the finding is told by."""


def finding_bands(flow: Flow) -> Bands:
    """Return by which bands of which limits the inspections of a flow tell its findings."""
    return {
        (limit_id(step), inspection.id, finding): bands
        for inspection in flow.inspections.values()
        for step in inspection.steps
        if limit_id(step)
        for finding, bands in bands_of(step).items()
        if finding in flow.findings
    }


def regraded(flow: Flow, observations: Iterable[Observation]) -> list[Observation]:
    """Return the observations with the evidence of their readings as the flow's curves have it now.

    What else was answered stays. A reading whose curve, or finding, the flow doesn't have stays as it was; so does what
    an answer that is certain settled.
    """
    limits, told = curved_limits(flow), finding_bands(flow)

    def again(reading: CurveReading) -> float:
        limit = limits.get(reading.curve)
        bands = told.get((reading.limit, reading.inspection, reading.finding), ())
        curves = graded_curves(limit, bands, flow.severity) if limit is not None else ()
        value, doubt = to_si(reading.value, reading.unit), span_to_si(reading.uncertainty, reading.unit)
        ratios = [curve.log_ratio(value, doubt) for curve in curves]
        return grading.evidence(ratios) if ratios else reading.evidence

    return [
        _with(seen, [(r, again(r)) for r in seen.readings]) if seen.readings else seen
        for seen in observations
    ]


def _with(seen: Observation, readings: Iterable[tuple[CurveReading, float]]) -> Observation:
    """An observation with these readings saying this much instead."""
    some = tuple(readings)
    moved: dict[str, float] = {}
    for reading, e in some:
        moved[reading.finding] = moved.get(reading.finding, 0.0) + _log_odds(e) - _log_odds(reading.evidence)
    return replace(
        seen,
        evidence=_moved(seen.evidence, moved),
        either=_moved(seen.either, moved),
        readings=tuple(replace(reading, evidence=e) for reading, e in some),
    )


def _moved(evidence: Mapping[str, float], moved: Mapping[str, float]) -> dict[str, float]:
    """Evidence with the log odds of some findings moved; what is certain stays, what says nothing drops out."""
    found = {}
    for finding in dict.fromkeys(chain(evidence, moved)):
        e, by = evidence.get(finding, NOTHING_LEARNT), moved.get(finding, 0.0)
        found[finding] = 1.0 / (1.0 + math.exp(-(_log_odds(e) + by))) if by and 0.0 < e < 1.0 else e
    return {finding: e for finding, e in found.items() if e != NOTHING_LEARNT}


def _log_odds(e: float) -> float:
    return math.log(e) - math.log1p(-e)
