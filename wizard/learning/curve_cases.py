"""The readings of proved sessions as cases of a limit's curve: how likely each is to come of a healthy machine, or of a
fault of each severity, by what else is known.

Of one session's readings of a curve in one inspection the one that spoke the most stands for all. Which faults were
there is what was proved; where that is in doubt, every set of them that may have been counts by its prior odds and by
all that was found besides. Sessions that proved nothing say nothing here, as with the weights.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.model import Flow, Limit
from wizard.learning.curves.curve_levels import SeverityLevels, log_likely
from wizard.learning.curves.curve_numbers import SCATTER, USUAL, curved_limits, typical_name
from wizard.learning.job.curve_readings import CurveReading
from wizard.learning.observation import Observation
from wizard.learning.optimum.curve_likelihood import CurveNumbers, ReadingCases
from wizard.learning.regrading import Bands, finding_bands
from wizard.learning.weight_cases import MOST_DOUBTFUL, FaultSet, possible_sets
from wizard.measure.quantities.units import from_si, span_from_si, span_to_si, to_si

GRADES = len(FaultSeverity)


@dataclass(frozen=True, slots=True, eq=False)
class CurveTable:
    """The cases of one curve. ``limit``: it in the flow; ``bands`` B: those of its bands that say what is typical.

    ``shown`` B: in how many sessions a fault was there and showed in the band, as the flow's weights expect it.
    """

    limit: Limit
    bands: tuple[str, ...]
    cases: ReadingCases
    shown: Floats

    @property
    def healthy(self) -> float:
        """In how many sessions none of the faults was there that show it."""
        return float(self.cases.healthy.sum())


@dataclass(slots=True)
class _Rows:
    """The rows of one curve while they are gathered."""

    values: list[tuple[float, float, float, float]] = field(default_factory=list)
    chances: list[Floats] = field(default_factory=list)
    shown: list[Floats] = field(default_factory=list)


def typical_bands(limit: Limit) -> tuple[str, ...]:
    """Return those bands of a limit that say what is typical."""
    return tuple(band.id for band in limit.bands if band.typical)


def curve_of(bands: Sequence[str], numbers: Mapping[str, float]) -> CurveNumbers:
    """Return a curve of these bands from its numbers by name."""
    usual = numbers[USUAL]
    off = [[numbers[typical_name(band, s)] - usual for s in FaultSeverity] for band in bands]
    return CurveNumbers(usual, numbers[SCATTER], np.array(off))


def gather_readings(flow: Flow, observations: Sequence[Observation]) -> dict[str, CurveTable]:
    """Return the cases of each curve of the flow that was read in a proved session, by its name.

    Curves and findings that the flow doesn't have (any more) drop out.
    """
    limits, told, levels = curved_limits(flow), finding_bands(flow), SeverityLevels(flow)
    rows: dict[str, _Rows] = {}
    for number, seen in enumerate(observations):
        if seen.faults is None or len(seen.faults.doubtful) > MOST_DOUBTFUL:
            continue
        groups = _groups(seen, limits, told)
        if not groups:
            continue
        sets = possible_sets(flow, seen.faults, seen.facts.get(flow.kind, ""), number)
        often: dict[str, int] = {}
        for name, _ in groups:
            often[name] = often.get(name, 0) + 1
        for name, some in groups:
            likely = _likely(flow, seen, sets, {r.finding for r in some})
            _add(
                rows.setdefault(name, _Rows()),
                flow,
                limits[name],
                told,
                levels,
                some,
                sets,
                likely,
                often[name],
            )
    return {name: _table(limits[name], found) for name, found in rows.items()}


def _groups(
    seen: Observation, limits: Mapping[str, Limit], told: Bands
) -> list[tuple[str, list[CurveReading]]]:
    """The readings of each curve and inspection of one session, in the unit of the flow's limit."""
    found: dict[tuple[str, str], list[CurveReading]] = {}
    for reading in seen.readings:
        limit = limits.get(reading.curve)
        if limit is not None and (reading.limit, reading.inspection, reading.finding) in told:
            found.setdefault((reading.curve, reading.inspection), []).append(in_unit(reading, limit.unit))
    return [(name, some) for (name, _), some in found.items()]


def in_unit(reading: CurveReading, unit: str) -> CurveReading:
    """Return a reading in another unit of the same dimension; an older version of the flow may have had another."""
    if reading.unit == unit:
        return reading
    value = from_si(to_si(reading.value, reading.unit), unit)
    doubt = span_from_si(span_to_si(reading.uncertainty, reading.unit), unit)
    return replace(reading, unit=unit, value=value, uncertainty=doubt)


def _likely(flow: Flow, seen: Observation, sets: Sequence[FaultSet], but: Iterable[str]) -> Floats:
    """How likely each set of faults is (1 in all) by all that was found but what these readings speak of."""
    if len(sets) == 1:
        return np.ones(1)
    told = [(f, e) for f, e in seen.either.items() if f in flow.findings and f not in set(but)]
    logs = np.array([one.log_odds + log_likely(flow, one.faults, told) for one in sets])
    part = np.exp(logs - logs.max())
    likely: Floats = part / part.sum()
    return likely


def _add(
    rows: _Rows, flow: Flow, limit: Limit, told: Bands,
    levels: SeverityLevels, some: Sequence[CurveReading], sets: Sequence[FaultSet], likely: Floats, often: int,
) -> None:  # fmt: skip
    """Add the reading that spoke the most, one of so many of its curve in its session."""
    most, bands = max(some, key=lambda r: r.evidence), typical_bands(limit)
    places = {
        r.finding: [n for n, b in enumerate(bands) if b in told[r.limit, r.inspection, r.finding]]
        for r in some
    }
    chances, expected, healthy = np.zeros(1 + len(bands) * GRADES), np.zeros(len(bands)), 0.0
    for one, p in zip(sets, likely, strict=True):
        shown = {f: [c for c in one.faults if flow.findings[f].weights.get(c, 0.0) > 0.0] for f in places}
        each = _centres({f: levels.chances(f, one.faults) for f in places}, places, len(bands))
        chances += p * each
        if not any(shown.values()):
            healthy += float(p)
        by_band = each[1:].reshape(-1, GRADES).sum(axis=1)
        for finding, where in places.items():
            if shown[finding]:
                expected[where] += p * by_band[where]
    rows.values.append((most.value, most.uncertainty, healthy / often, (1.0 - healthy) / often))
    rows.chances.append(chances)
    rows.shown.append(expected / often)


def _centres(levels: Mapping[str, Floats], places: Mapping[str, Sequence[int]], bands: int) -> Floats:
    """How likely a reading is to come of each centre (1 + B S): no finding is there, or one alone at a severity."""
    chances = np.zeros(1 + bands * GRADES)
    none = float(np.prod([at[0] for at in levels.values()]))
    chances[0] = none
    for finding, at in levels.items():
        rest = float(np.prod([other[0] for f, other in levels.items() if f != finding]))
        for place in places[finding]:
            chances[1 + place * GRADES : 1 + (place + 1) * GRADES] += at[1:] * rest / len(places[finding])
    each: Floats = chances / chances.sum()
    return each


def _table(limit: Limit, rows: _Rows) -> CurveTable:
    """The cases of one curve as arrays."""
    values = np.array(rows.values)
    value, uncertainty, healthy, faulty = values.T
    cases = ReadingCases(value, uncertainty, healthy, faulty, np.array(rows.chances))
    return CurveTable(limit, typical_bands(limit), cases, np.sum(rows.shown, axis=0))
