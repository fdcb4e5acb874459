"""Proved sessions whose readings are drawn from a flow's own curves: what learning of curves is tested on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from tests.helpers.drawn_sessions import session
from wizard.domain.vocabulary import FaultSeverity
from wizard.engine.measuring.judging import graded_curves
from wizard.flow.model import Flow
from wizard.learning.curve_cases import GRADES
from wizard.learning.curves.curve_levels import SeverityLevels
from wizard.learning.curves.curve_numbers import curved_limits, numbers_of, typical_name, variant_of
from wizard.learning.job.curve_readings import CurveReading
from wizard.learning.observation import Observation
from wizard.learning.proved_faults import ProvedFaults
from wizard.learning.weight_cases import possible_sets
from wizard.measure.quantities.units import span_to_si, to_si
from wizard.measure.uncertainty import grading

KINDS = {"rod-drag": "top-hung", "pad-thickness": "top-base"}
"""The kind of machine that has what a curve is of; front loaders have the rest."""
PLACES: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "rod-drag": ("rods", {"rod-slides": "free"}),
    "pad-thickness": ("pads", {"pad-worn": "thin"}),
    "rim-play": ("spider", {"play-even": "loose"}),
    "damper-drag@3,4": ("dampers", {"damper-drag-low": "low", "damper-drag-high": "high"}),
}
"""Of some curves an inspection that reads it, and by which finding each band is told there."""


def read(flow: Flow, curve: str, finding: str, value: float, uncertainty: float) -> CurveReading:
    """A reading in the limit's unit, with the evidence that it comes to by the flow's curve."""
    limit, (inspection, bands) = curved_limits(flow)[curve], PLACES[curve]
    curves = graded_curves(limit, (bands[finding],), flow.severity)
    ratio = curves[0].log_ratio(to_si(value, limit.unit), span_to_si(uncertainty, limit.unit))
    return CurveReading(
        limit.id, variant_of(limit.applies), inspection, finding, limit.unit, value, uncertainty,
        grading.evidence([ratio]),
    )  # fmt: skip


def alone(flow: Flow, curve: str) -> Flow:
    """The flow with one curve and no other limit."""
    limit = curved_limits(flow)[curve]
    return replace(flow, limits={limit.id: (limit,)})


def drawn_value(
    rng: np.random.Generator,
    numbers: Mapping[str, float],
    centre: str,
    uncertainty: float,
    factor: float = 1.0,
) -> float:
    """A reading about a centre of a curve (usual, or 'low.mild'), spread logistically as it says."""
    scale = np.hypot(numbers["scatter"], uncertainty) * np.sqrt(3.0) / np.pi
    return factor * float(numbers[centre] + rng.logistic(0.0, scale))


def drawn_readings(
    flow: Flow, truth: Flow, curve: str, faults: Sequence[str], count: int, seed: int,
    uncertainty: float = 0.5, factor: float = 1.0, doubtful: float = 0.0,
) -> list[Observation]:  # fmt: skip
    """Sessions that read one curve, the proved fault one of ``faults`` in turn.

    What is there is drawn by the weights of ``flow``, what is read by the curve of ``truth``, times ``factor``; of one
    finding alone, the likelier. ``doubtful``: in so many sessions that fault and 'load' were repaired and nobody knows
    which was there: drawn by their odds.
    """
    rng, levels = np.random.default_rng(seed), SeverityLevels(flow)
    numbers = numbers_of(curved_limits(truth)[curve])
    bands, found, kind = PLACES[curve][1], [], KINDS.get(curve, "front-loader")
    for number in range(count):
        fault = faults[number % len(faults)]
        finding = max(bands, key=lambda f: flow.findings[f].weights.get(fault, 0.0))
        doubt = ProvedFaults((), tuple(dict.fromkeys((fault, "load"))))
        label = doubt if rng.random() < doubtful else ProvedFaults((fault,))
        sets = possible_sets(flow, label, kind, number)
        odds = np.exp([one.log_odds for one in sets])
        there = sets[int(rng.choice(len(sets), p=odds / odds.sum()))].faults
        level = int(rng.choice(1 + GRADES, p=levels.chances(finding, there)))
        severities = tuple(FaultSeverity)
        centre = typical_name(bands[finding], severities[level - 1]) if level else "usual"
        reading = read(
            flow, curve, finding, drawn_value(rng, numbers, centre, uncertainty, factor), uncertainty
        )
        seen = session(number, label, {finding: reading.evidence}, {"kind": kind})
        found.append(replace(seen, readings=(reading,)))
    return found
