"""Weights and leaks from proved sessions, by EM where evidence is soft or a fault is doubtful; else in one pass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.flow.model import Flow
from wizard.learning.estimate import SURE_ENOUGH, Estimate, NumberId, NumberKind
from wizard.learning.observation import Observation
from wizard.learning.optimum.noisy_or_fit import (
    BetaPrior,
    FindingCases,
    fit,
    information,
    number_of,
    softened,
    theta_of,
)
from wizard.learning.weight_cases import CaseTable, WeightCases, gather

STRENGTH = 10.0
"""So many cases the flow's own number counts for."""
LEAST_SESSIONS = 8
"""So many sessions must speak for a weight or a leak before it is changed."""
SETTLED, MOST_ROUNDS = 1e-6, 400
"""EM ends when no number moves further than this in a round, or after so many rounds."""

NEXT_TO = 1e-4
"""An interval that comes so near to none, or to sure, goes all the way: a flow may say 0 or 1."""

Thetas: TypeAlias = dict[str, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class FittedWeights:
    """``estimates`` of every weight and leak of the flow; ``settled``: whether EM came to an end; in how many rounds.

    ``chances``: how likely each doubtful set is, by `WeightCases.sets`.
    """

    estimates: tuple[Estimate, ...]
    settled: bool
    rounds: int
    cases: WeightCases
    chances: Floats


def fit_weights(
    flow: Flow,
    observations: Sequence[Observation],
    trainer: Mapping[NumberId, float] | None = None,
    start: float | None = None,
    strength: float = STRENGTH,
    least: int = LEAST_SESSIONS,
) -> FittedWeights:
    """Return what proved sessions say of each weight and leak.

    ``trainer``: what the numbers were before anything was learned, where that is not what the flow has now; the prior
    stands around it. ``start``: where the search begins for every number, by default at the flow's. A number that fewer
    than ``least`` sessions speak for stays as it is.
    """
    cases = gather(flow, observations)
    known = {f: _numbers(flow, f, table.causes, {}) for f, table in cases.tables.items()}
    prior = {
        f: BetaPrior.around(_numbers(flow, f, table.causes, trainer or {}), strength)
        for f, table in cases.tables.items()
    }
    spoken = {f: _spoken(table, _by_odds(cases)) for f, table in cases.tables.items()}
    free = {f: counts >= least for f, counts in spoken.items()}
    thetas = {f: theta_of(numbers) for f, numbers in known.items()}
    if start is not None:
        for f, theta in thetas.items():
            theta[free[f]] = theta_of(np.array([start]))[0]
    thetas, chances, rounds, settled = _climb(cases, prior, free, thetas)
    found = {
        number.id: number
        for f, table in cases.tables.items()
        for number in _estimates(
            f, table, known[f], thetas[f], spoken[f], free[f], least, table.cases(chances), prior[f]
        )
    }
    return FittedWeights(_whole(flow, found, least), settled, rounds, cases, chances)


def _climb(
    cases: WeightCases, prior: Mapping[str, BetaPrior], free: Mapping[str, NDArray[np.bool_]], thetas: Thetas
) -> tuple[Thetas, Floats, int, bool]:
    """EM: how likely the sets and the findings are, then the best weights given that, until nothing moves."""
    soft = {f for f, table in cases.tables.items() if _soft(table)}
    chances, moving = _set_chances(cases, thetas), set(cases.tables)
    for turn in range(1, MOST_ROUNDS + 1):
        before = thetas
        thetas = {
            **thetas,
            **{f: _round(cases.tables[f], chances, prior[f], thetas[f], free[f]) for f in moving},
        }
        moved = {f: _apart(thetas[f], before[f]) for f in moving}
        now = _set_chances(cases, thetas)
        shifted = bool(now.size) and float(np.abs(now - chances).max()) > SETTLED
        chances = now
        moving = set(soft) if shifted else {f for f in soft if moved.get(f, 0.0) > SETTLED}
        if not moving:
            return thetas, chances, turn, True
    return thetas, chances, MOST_ROUNDS, False


def _soft(table: CaseTable) -> bool:
    """True where a finding's own truth, or which faults were there, is open in some case."""
    return bool(((table.e > 0.0) & (table.e < 1.0)).any() or (table.sets >= 0).any())


def _round(
    table: CaseTable, chances: Floats, prior: BetaPrior, theta: Floats, free: NDArray[np.bool_]
) -> Floats:
    """One round of EM for one finding."""
    open_ = table.cases(chances)
    return fit(table.cases(chances, softened(theta, open_)), prior, theta, free)


def _apart(one: Floats, other: Floats) -> float:
    """How far two sets of thetas lie apart, as probabilities."""
    return float(np.abs(number_of(one) - number_of(other)).max())


def _set_chances(cases: WeightCases, thetas: Thetas) -> Floats:
    """How likely each doubtful set is, given all that was found in its session; 1 in all for a session."""
    if not cases.sets:
        return np.array([])
    logs = cases.log_odds.copy()
    for f, table in cases.tables.items():
        rows = table.sets >= 0
        hidden = np.exp(-(table.there[rows] @ thetas[f]))
        e = table.e[rows]
        np.add.at(logs, table.sets[rows], np.log(np.maximum(e * (1.0 - hidden) + (1.0 - e) * hidden, 1e-300)))
    sessions = cases.sessions
    top = np.full(int(sessions.max()) + 1, -np.inf)
    np.maximum.at(top, sessions, logs)
    part = np.exp(logs - top[sessions])
    total = np.zeros(top.size)
    np.add.at(total, sessions, part)
    chances: Floats = part / total[sessions]
    return chances


def _by_odds(cases: WeightCases) -> Floats:
    """The sets of each session by their prior odds: how many sessions speak is counted before anything is fitted."""
    return _set_chances(WeightCases({}, cases.sets), {}) if cases.sets else np.array([])


def _numbers(flow: Flow, finding: str, causes: tuple[str, ...], instead: Mapping[NumberId, float]) -> Floats:
    """The leak and the weights of a finding, as the flow has them or as ``instead`` says."""
    own = flow.findings[finding]
    ids = _ids(finding, causes)
    return np.array([instead.get(i, own.weights[i.of] if i.of else own.leak) for i in ids], dtype=float)


def _ids(finding: str, causes: tuple[str, ...]) -> list[NumberId]:
    weights = (NumberId(NumberKind.WEIGHT, finding, cause) for cause in causes)
    return [NumberId(NumberKind.LEAK, finding), *weights]


def _spoken(table: CaseTable, chances: Floats) -> Floats:
    """How many sessions speak for the leak (none of the causes is there) and for each weight (the cause is there)."""
    count = table.counted(chances)
    alone = table.there[:, 1:].sum(axis=1) == 0.0
    return np.array([float(count @ alone), *(count @ table.there[:, 1:])])


def _estimates(
    finding: str, table: CaseTable, old: Floats, theta: Floats, spoken: Floats, free: NDArray[np.bool_], least: int,
    cases: FindingCases, prior: BetaPrior,
) -> list[Estimate]:  # fmt: skip
    """The leak and the weights of one finding, each with its interval."""
    wide = np.full(theta.size, np.inf)
    if free.any():
        inner = information(theta, cases, prior)[np.ix_(free, free)]
        wide[free] = np.sqrt(np.maximum(np.diag(np.linalg.pinv(inner, hermitian=True)), 0.0))
    new = np.where(free, number_of(theta), old)
    found = []
    for k, number in enumerate(_ids(finding, table.causes)):
        low, high = _interval(float(new[k]), float(wide[k]))
        short = 0 if free[k] else int(np.ceil(least - spoken[k]))
        found.append(Estimate(number, float(old[k]), float(new[k]), low, high, float(spoken[k]), short))
    return found


def _interval(number: float, wide: float) -> tuple[float, float]:
    """Where a probability lies 95 times in 100, by Laplace in its log odds; ``wide``: its theta's standard error."""
    if not np.isfinite(wide) or not 0.0 < number < 1.0:
        return 0.0, 1.0
    middle, half = np.log(number) - np.log1p(-number), SURE_ENOUGH * wide / number
    low, high = (1.0 / (1.0 + np.exp(-np.clip(middle + side * half, -700.0, 700.0))) for side in (-1, 1))
    return float(low) if low > NEXT_TO else 0.0, float(high) if high < 1.0 - NEXT_TO else 1.0


def _whole(flow: Flow, found: Mapping[NumberId, Estimate], least: int) -> tuple[Estimate, ...]:
    """Every weight and leak of the flow in its order; what no session asked stands with none."""
    every = []
    for finding in flow.findings.values():
        causes = tuple(f for f in flow.faults if finding.weights.get(f, 0.0) > 0.0)
        for number in _ids(finding.id, causes):
            old = finding.weights[number.of] if number.of else finding.leak
            every.append(found.get(number) or Estimate(number, old, old, 0.0, 1.0, 0.0, least))
    return tuple(every)
