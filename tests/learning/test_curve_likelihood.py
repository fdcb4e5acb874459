"""How likely readings are by a curve: the density of the grading, slopes by differences, scipy as the outside
reference, and a search that is led astray by no start.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import logistic, norm

from wizard.learning.optimum.curve_likelihood import (
    PSEUDO,
    PSEUDO_WEIGHTS,
    SCALE,
    CurveNumbers,
    CurvePart,
    CurveProblem,
    ReadingCases,
    cost,
    dispersion,
    log_likelihoods,
)
from wizard.learning.optimum.curve_search import best, covariance, from_data, likely_factors, now_at
from wizard.measure.uncertainty.grading import Curve

SHARES = np.array([0.35, 0.4, 0.25])
TRAINER = CurveNumbers(60.0, 10.0, np.array([[-20.0, -31.0, -42.0], [30.0, 50.0, 90.0]]))
ALL = np.ones(4, dtype=bool)


def healthy(values: np.ndarray, doubt: float = 0.0) -> ReadingCases:
    """Readings of machines that are known to be healthy."""
    ones, chances = np.ones(values.size), np.zeros((values.size, 7))
    chances[:, 0] = 1.0
    return ReadingCases(values, np.full(values.size, doubt), ones, np.zeros(values.size), chances)


def mixed(seed: int, count: int = 60) -> ReadingCases:
    """Readings of which nobody knows what they came of."""
    rng = np.random.default_rng(seed)
    counts = rng.uniform(0.2, 1.0, (2, count))
    chances = rng.dirichlet(np.ones(7), count)
    return ReadingCases(rng.normal(60, 30, count), rng.uniform(0, 8, count), *counts, chances)


def problem(
    cases: ReadingCases, free: np.ndarray = ALL, strength: float = 10.0, errs: float = 1e-3
) -> CurveProblem:
    now = CurveNumbers(65.0, 9.0, 1.1 * TRAINER.off)
    return CurveProblem(cases, TRAINER, now, free, SHARES, strength, errs)


def test_the_density_is_that_of_the_grading() -> None:
    """The log ratio of a reading with the fault against without, from both densities; no mistakes counted."""
    values, doubts = np.array([12.0, 33.0, 50.0, 61.0, 80.0]), np.array([0.0, 1.0, 5.0, 9.0, 2.0])
    curve = Curve(60.0, 10.0, tuple(zip((60.0 + TRAINER.off[0]).tolist(), SHARES.tolist(), strict=True)))
    without, with_fault = np.zeros((5, 7)), np.zeros((5, 7))
    without[:, 0], with_fault[:, 1:4] = 1.0, SHARES
    ones = np.ones(5)
    logs = [
        log_likelihoods(TRAINER, problem(ReadingCases(values, doubts, ones, ones, chances), errs=1e-300))
        for chances in (with_fault, without)
    ]
    graded = [curve.log_ratio(v, u) for v, u in zip(values.tolist(), doubts.tolist(), strict=True)]
    assert logs[0] - logs[1] == pytest.approx(np.array(graded))
    spread = np.hypot(10.0, doubts) * SCALE
    assert logs[1] == pytest.approx(logistic.logpdf(values, 60.0, spread))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("free", [(1, 1, 1, 1), (1, 1, 0, 1), (0, 0, 1, 1), (1, 1, 0, 0)])
def test_slopes_are_those_of_differences(seed: int, free: tuple[int, ...]) -> None:
    """Both parts, at a random place; what is not looked for has none."""
    some = problem(mixed(seed), np.array(free, dtype=bool))
    at = np.random.default_rng(seed).normal(0.0, 0.5, 4)
    for part in CurvePart:
        slope, wanted = cost(at, some, part)[1], some.looked_for(part)
        for k in range(4):
            off = np.eye(4)[k] * 1e-5
            by_differences = (cost(at + off, some, part)[0] - cost(at - off, some, part)[0]) / 2e-5
            assert slope[k] == (pytest.approx(by_differences, rel=1e-5, abs=1e-5) if wanted[k] else 0.0)


@pytest.mark.parametrize("seed", range(6))
def test_two_starts_come_to_the_same_numbers(seed: int) -> None:
    """From the curve as it is and from what the data say; there neither part has a slope."""
    some = problem(mixed(seed))
    (own, rest), (data, too) = (best(some, start) for start in (now_at(some), from_data(some)))
    assert rest and too and own == pytest.approx(data, abs=1e-4)
    for part in CurvePart:
        assert np.abs(cost(own, some, part)[1]).max() < 1e-3


def test_without_readings_the_trainers_numbers_stand() -> None:
    """The prior's highest place is theirs, however many cases they count for; its readings are spread as they say."""
    assert PSEUDO_WEIGHTS.sum() == pytest.approx(1.0)
    assert PSEUDO_WEIGHTS @ (PSEUDO * np.tanh(PSEUDO / 2.0)) == pytest.approx(1.0)
    none = np.zeros(0)
    for strength in (1.0, 10.0, 1000.0):
        some = problem(ReadingCases(none, none, none, none, np.zeros((0, 7))), strength=strength)
        found, settled = best(some, np.array([2.0, 0.5, 0.3, -0.2]))
        assert settled and found == pytest.approx(np.zeros(4), abs=5e-3)


def test_the_prior_is_worth_its_cases() -> None:
    """Ten readings of the trainer's weigh as ten of the shop's: the error of usual is that of ten, scale times the root
    of 3 over n (Fisher information of a logistic distribution, 1 / (3 s^2), as any textbook has it).
    """
    none = np.zeros(0)
    some = problem(ReadingCases(none, none, none, none, np.zeros((0, 7))))
    error = TRAINER.scatter * np.sqrt(covariance(np.zeros(4), some)[0, 0])
    assert error == pytest.approx(TRAINER.scatter * SCALE * np.sqrt(3.0 / 10.0), rel=2e-3)


@pytest.mark.parametrize("seed", range(5))
def test_usual_and_scatter_are_those_of_scipy(seed: int) -> None:
    """Certain data, next to no prior: scipy's own fit of a logistic distribution."""
    values = logistic.rvs(72.0, 12.0 * SCALE, size=200, random_state=seed)
    some = problem(healthy(values), np.array([True, True, False, False]), strength=1e-6, errs=1e-12)
    found, settled = best(some, now_at(some))
    curve, (centre, scale) = some.curve(found), logistic.fit(values)
    assert settled and (curve.usual, curve.scatter * SCALE) == pytest.approx((centre, scale), rel=1e-4)
    normal = norm.fit(values)
    assert curve.usual == pytest.approx(normal[0], abs=2.0) and curve.scatter == pytest.approx(
        normal[1], rel=0.15
    )
    error = TRAINER.scatter * np.sqrt(covariance(found, some)[0, 0])
    assert error == pytest.approx(scale * np.sqrt(3.0 / 200.0), rel=0.15)


def test_a_factor_is_that_of_scipy() -> None:
    """Severities known, usual and scatter held: the shift of each severity by scipy's fit with its scale held, all
    severe; next to no prior.
    """
    values = logistic.rvs(60.0 - 42.0 * 1.3, 10.0 * SCALE, size=150, random_state=3)
    ones, chances = np.ones(150), np.zeros((150, 7))
    chances[:, 3] = 1.0
    cases = ReadingCases(values, np.zeros(150), 0.0 * ones, ones, chances)
    some = replace(problem(cases, np.array([False, False, True, False]), 1e-6, 1e-12), now=TRAINER)
    found, _ = best(some, now_at(some))
    centre, _ = logistic.fit(values, fscale=10.0 * SCALE)
    assert some.curve(found).usual + some.curve(found).off[0, 2] == pytest.approx(centre, rel=1e-4)


def test_the_readings_own_uncertainty_is_no_scatter() -> None:
    """Readings widened by their tools: the scatter of the machines is what is left; known uncertainty, textbook sum of
    squares.
    """
    rng = np.random.default_rng(5)
    doubt, count = 12.0, 4_000
    values = rng.logistic(60.0, SCALE * np.hypot(8.0, doubt), count)
    some = problem(healthy(values, doubt), np.array([True, True, False, False]))
    assert some.curve(best(some, now_at(some))[0]).scatter == pytest.approx(8.0, rel=0.08)


def test_one_gross_mistake_moves_nothing() -> None:
    """A reading of 400 where 60 is usual, among forty: as if it were not there."""
    values = logistic.rvs(60.0, 10.0 * SCALE, size=40, random_state=1)
    free = np.array([True, True, False, False])
    right, wrong = (problem(healthy(some), free) for some in (values, np.append(values, 400.0)))
    one, other = (p.curve(best(p, from_data(p))[0]) for p in (right, wrong))
    assert other.usual == pytest.approx(one.usual, abs=0.1)
    assert other.scatter == pytest.approx(one.scatter, rel=0.02)


def test_readings_far_from_every_centre_are_found() -> None:
    """A narrow scatter and faults half as far off again: no start is pulled there, and it is found all the same."""
    narrow = CurveNumbers(0.1, 0.06, np.array([[0.7, 1.4, 2.9]]))
    rng = np.random.default_rng(2)
    levels = rng.choice(3, 40, p=SHARES)
    values = 0.1 + 1.55 * narrow.off[0, levels] + rng.logistic(0.0, 0.06 * SCALE, 40)
    chances = np.tile([0.2, *(0.8 * SHARES)], (40, 1))
    cases = ReadingCases(values, np.zeros(40), np.zeros(40), np.ones(40), chances)
    some = CurveProblem(cases, narrow, narrow, np.array([False, False, True]), SHARES, 10.0)
    assert np.exp(best(some, now_at(some))[0][2]) == pytest.approx(1.55, rel=0.01)


@given(
    values=st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=12),
    doubt=st.floats(0.0, 1e4),
    scatter=st.floats(1e-3, 1e4),
    sign=st.sampled_from((-1.0, 1.0)),
    data=st.data(),
)
def test_whatever_was_read_is_no_number_lost_and_the_order_stays(
    values: list[float], doubt: float, scatter: float, sign: float, data: st.DataObject
) -> None:
    """Each centre lies further from usual than the one before, on its side; everything is a number."""
    trainer = CurveNumbers(50.0, scatter, sign * np.array([[1.0, 1.5, 4.0]]))
    some = np.array(values)
    weights = data.draw(st.lists(st.floats(0.01, 1.0), min_size=4, max_size=4))
    chances = np.tile(np.array(weights) / sum(weights), (some.size, 1))
    part = data.draw(st.floats(0.0, 1.0))
    counts = np.full(some.size, part), np.full(some.size, 1.0 - part)
    cases = ReadingCases(some, np.full(some.size, doubt), *counts, chances)
    one = CurveProblem(cases, trainer, trainer, np.ones(3, dtype=bool), SHARES, 10.0)
    found, _ = best(one, from_data(one))
    curve = one.curve(found)
    assert np.isfinite(found).all() and np.isfinite(covariance(found, one)).all() and curve.scatter > 0.0
    off = sign * curve.off[0]
    assert 0.0 < off[0] < off[1] < off[2]


def severities(spread: float) -> CurveProblem:
    """Sixty faulty readings, ``spread`` times as far about their centres as scatter says; their shares are known."""
    narrow = CurveNumbers(0.8, 0.4, np.array([[3.2, 6.2, 11.2]]))
    rng = np.random.default_rng(4)
    levels = rng.choice(3, 60, p=SHARES)
    values = 0.8 + 0.76 * narrow.off[0, levels] + rng.logistic(0.0, spread * 0.4 * SCALE, 60)
    cases = ReadingCases(values, np.zeros(60), np.zeros(60), np.ones(60), np.tile([0.0, *SHARES], (60, 1)))
    return CurveProblem(cases, narrow, narrow, np.array([False, False, True]), SHARES, 10.0)


def test_readings_that_vary_more_than_scatter_says_say_less() -> None:
    """Spread as the scatter says, the dispersion is 1, as near as chance lets it; three times as far, the interval is
    wider, and takes in other factors that fit.
    """
    own, wide = severities(1.0), severities(3.0)
    (one, _), (other, _) = (best(p, now_at(p)) for p in (own, wide))
    assert np.exp(one[2]) == pytest.approx(0.76, rel=0.02)
    assert 1.0 <= dispersion(one, own) < 1.25 < 1.5 < dispersion(other, wide)
    few, many = likely_factors(own, one, 0, 3.0), likely_factors(wide, other, 0, 3.0)
    assert few[0] <= np.exp(one[2]) <= few[1] and many[1] / many[0] > few[1] / few[0]
    assert covariance(one, own)[2, 2] < covariance(other, wide)[2, 2]
