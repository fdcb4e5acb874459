"""The curves of limits from the readings of proved sessions: what healthy machines give, how far they differ, and how
far off a fault is.

Of each limit with a curve: usual, scatter, and one factor for each band that says what is typical, by which its mild,
moderate and severe lie further from usual, or nearer. The numbers of one curve change together, or none of them does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.model import Flow, Limit
from wizard.flow.model.curve_problems import curve_problems
from wizard.learning.curve_cases import GRADES, CurveTable, curve_of, gather_readings, typical_bands
from wizard.learning.curves.curve_levels import flow_shares
from wizard.learning.curves.curve_numbers import (
    SCATTER,
    USUAL,
    curved_limits,
    limit_with,
    numbers_of,
    typical_name,
)
from wizard.learning.estimate import Estimate, NumberId, NumberKind, NumberStanding
from wizard.learning.numbered_flow import written
from wizard.learning.observation import Observation
from wizard.learning.optimum.curve_likelihood import (
    FACTORS,
    CurveNumbers,
    CurveProblem,
    ReadingCases,
)
from wizard.learning.optimum.curve_search import (
    best,
    covariance,
    from_data,
    healthy_cost,
    likely_factors,
    now_at,
)

STRENGTH = 10.0
"""For so many readings of healthy machines, and so many of faulty ones, the flow's own numbers count."""
LEAST_SESSIONS = 8
"""So many sessions must speak for what healthy machines give, or for what a fault gives, before it is changed."""
UNSURE = 0.05
"""How often the numbers of a curve don't all lie within their intervals."""


@dataclass(frozen=True, slots=True, eq=False)
class FittedCurve:
    """One curve: what was looked for, the unknowns (2 + B) that were found, and whether the search came to rest."""

    problem: CurveProblem
    unknowns: Floats
    settled: bool

    @property
    def numbers(self) -> CurveNumbers:
        """The curve itself."""
        return self.problem.curve(self.unknowns)


@dataclass(frozen=True, slots=True, eq=False)
class FittedCurves:
    """``estimates`` of every number of every curve of the flow; ``fitted``: those curves that were read, by name."""

    estimates: tuple[Estimate, ...]
    fitted: Mapping[str, FittedCurve]

    @property
    def settled(self) -> bool:
        """True where the search for every curve came to rest."""
        return all(one.settled for one in self.fitted.values())


def fit_curves(
    flow: Flow,
    observations: Sequence[Observation],
    trainer: Mapping[NumberId, float] | None = None,
    strength: float = STRENGTH,
    least: int = LEAST_SESSIONS,
) -> FittedCurves:
    """Return what the readings of proved sessions say of each curve.

    How often a fault shows at all is by the flow's own weights. ``trainer`` as in `fit_weights`; where its numbers
    make no curve with what was written since, the flow's own stand for them. What fewer than
    ``least`` sessions speak for stays as it is; so does a curve that the flow's check would refuse, and says why.
    """
    tables = gather_readings(flow, observations)
    estimates: list[Estimate] = []
    fitted: dict[str, FittedCurve] = {}
    for name, limit in curved_limits(flow).items():
        if curve_problems(limit, flow.severity):
            continue
        table = tables.get(name) or _empty(limit)
        own = numbers_of(limit)
        instead = {part: (trainer or {}).get(_id(name, part), value) for part, value in own.items()}
        if curve_problems(limit_with(limit, instead), flow.severity):
            instead = own
        problem = problem_of(flow, table, own, instead, strength, least)
        fitted[name] = FittedCurve(problem, *_optimum(problem))
        found = _estimates(name, table, own, fitted[name], least)
        why = _unsound(flow, limit, found)
        estimates += [replace(e, why="" if e.missing else why) for e in found]
    return FittedCurves(tuple(estimates), fitted)


def problem_of(
    flow: Flow,
    table: CurveTable,
    own: Mapping[str, float],
    trainer: Mapping[str, float],
    strength: float,
    least: int,
) -> CurveProblem:
    """Return what is looked for of one curve; ``own``: its numbers as they are, ``trainer``: as they were written."""
    healthy = table.healthy >= least
    free = np.array([healthy, healthy, *(table.shown >= least)])
    now, first = (curve_of(table.bands, numbers) for numbers in (own, trainer))
    return CurveProblem(table.cases, first, now, free, flow_shares(flow), strength)


def _empty(limit: Limit) -> CurveTable:
    """A curve of which nothing was read."""
    bands, none = typical_bands(limit), np.zeros(0)
    cases = ReadingCases(none, none, none, none, np.zeros((0, 1 + len(bands) * GRADES)))
    return CurveTable(limit, bands, cases, np.zeros(len(bands)))


def _optimum(problem: CurveProblem) -> tuple[Floats, bool]:
    """The better of two searches: from the curve as it is, and from what the data themselves say."""
    starts = (now_at(problem), from_data(problem)) if problem.free.any() else (now_at(problem),)
    return min((best(problem, start) for start in starts), key=lambda found: healthy_cost(problem, found[0]))


def _estimates(
    name: str, table: CurveTable, own: Mapping[str, float], fitted: FittedCurve, least: int
) -> list[Estimate]:
    """Every number of one curve with its interval; all of them hold at once 95 times in 100 (Bonferroni)."""
    problem, unknowns = fitted.problem, fitted.unknowns
    new, free = _named(table.bands, fitted.numbers), _named_free(table.bands, problem.free)
    widths = _widths(table.bands, problem, unknowns)
    far = NormalDist().inv_cdf(1.0 - UNSURE / (2.0 * max(1, sum(free.values()))))
    others = _others(table.bands, fitted, 0.5 * far * far)
    spoken = {USUAL: table.healthy, SCATTER: table.healthy} | {
        typical_name(band, s): float(count)
        for band, count in zip(table.bands, table.shown, strict=True)
        for s in FaultSeverity
    }
    found = []
    for part, old in own.items():
        value = new[part] if free[part] else old
        half = far * widths[part]
        ends = (
            (value * np.exp(-half), value * np.exp(half)) if part == SCATTER else (value - half, value + half)
        )
        ends = (*ends, *others.get(part, ()))
        missing = 0 if free[part] else int(np.ceil(least - spoken[part]))
        found.append(
            Estimate(_id(name, part), old, value, float(min(ends)), float(max(ends)), spoken[part], missing)
        )
    return found


def _others(bands: Sequence[str], fitted: FittedCurve, most: float) -> dict[str, tuple[float, float]]:
    """What a fault gives by the least and the largest factor that fits the readings nearly as well, by name: where the
    scatter is small, readings may be taken for mild ones or for severe ones, and fit either way.
    """
    problem, curve, found = fitted.problem, fitted.numbers, {}
    for b in map(int, np.flatnonzero(problem.free[FACTORS:])):
        factors = likely_factors(problem, fitted.unknowns, b, most)
        for n, severity in enumerate(FaultSeverity):
            low, high = (float(curve.usual + factor * problem.trainer.off[b, n]) for factor in factors)
            found[typical_name(bands[b], severity)] = (low, high)
    return found


def _named(bands: Sequence[str], curve: CurveNumbers) -> dict[str, float]:
    """The numbers of a curve by name."""
    centres = {
        typical_name(band, s): float(curve.usual + curve.off[b, n])
        for b, band in enumerate(bands)
        for n, s in enumerate(FaultSeverity)
    }
    return {USUAL: curve.usual, SCATTER: curve.scatter, **centres}


def _named_free(bands: Sequence[str], free: NDArray[np.bool_]) -> dict[str, bool]:
    """Which numbers of a curve are looked for, by name."""
    centres = {
        typical_name(b, s): bool(f) for b, f in zip(bands, free[FACTORS:], strict=True) for s in FaultSeverity
    }
    return {USUAL: bool(free[0]), SCATTER: bool(free[1]), **centres}


def _widths(bands: Sequence[str], problem: CurveProblem, unknowns: Floats) -> dict[str, float]:
    """The standard error of each number by Laplace, of scatter that of its log; of what is not looked for that which
    the trainer's own cases leave.
    """
    alone = replace(problem, free=np.ones_like(problem.free), now=problem.trainer)
    known, guessed = covariance(unknowns, problem), covariance(np.zeros(unknowns.size), alone)
    curve, first, free = problem.curve(unknowns), problem.trainer, problem.free
    own = known if free[0] else guessed
    widths = {USUAL: first.scatter * _root(own[0, 0]), SCATTER: _root(own[1, 1])}
    for b, band in enumerate(bands):
        vary = known if free[FACTORS + b] else guessed
        off = curve.off if free[FACTORS + b] else first.off
        for n, severity in enumerate(FaultSeverity):
            slope = np.zeros(unknowns.size)
            slope[0], slope[FACTORS + b] = first.scatter, off[b, n]
            widths[typical_name(band, severity)] = _root(float(slope @ vary @ slope))
    return widths


def _root(variance: float) -> float:
    return float(np.sqrt(max(variance, 0.0)))


def _unsound(flow: Flow, limit: Limit, found: Sequence[Estimate]) -> str:
    """Why the flow's check would refuse the numbers of a curve that change; empty where it wouldn't, or none does."""
    if not any(e.standing is NumberStanding.CHANGE for e in found):
        return ""
    new = {e.id.of: written(e.id, e.new) for e in found if not e.missing}
    if min(e.old for e in found) >= 0.0 > min(new.values()):
        part = min(new, key=new.__getitem__)
        return f"{part} would be {new[part]:g} {limit.unit}, and none of its numbers lies below 0"
    return "; ".join(curve_problems(limit_with(limit, new), flow.severity))


def _id(name: str, part: str) -> NumberId:
    return NumberId(NumberKind.CURVE, name, part)
