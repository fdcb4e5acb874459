"""Weights and leaks from sessions: EM against brute force, one optimum, right numbers left alone, wrong ones found."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brute

from tests.helpers.drawn_sessions import drawn, session, shake, small_flow
from wizard.learning.estimate import Estimate, NumberId, NumberKind, NumberStanding
from wizard.learning.learner import changes
from wizard.learning.numbered_flow import with_numbers
from wizard.learning.observation import Observation
from wizard.learning.optimum.noisy_or_fit import theta_of
from wizard.learning.proved_faults import ProvedFaults
from wizard.learning.weight_cases import possible_sets
from wizard.learning.weights_fit import STRENGTH, fit_weights

LEAK, LOAD = NumberId(NumberKind.LEAK, "x0"), NumberId(NumberKind.WEIGHT, "x0", "load")


def by_id(estimates: tuple[Estimate, ...]) -> dict[NumberId, Estimate]:
    return {e.id: e for e in estimates}


def posterior_loss(numbers: np.ndarray, told: list[tuple[bool, float]], old: tuple[float, float]) -> float:
    """The negative log of the Beta priors and of the evidence, summed term by term."""
    leak, weight = (float(np.clip(n, 1e-9, 1 - 1e-9)) for n in numbers)
    total = 0.0
    for p, was in ((leak, old[0]), (weight, old[1])):
        total -= STRENGTH * (was * math.log(p) + (1 - was) * math.log1p(-p))
    for there, e in told:
        hidden = (1 - leak) * ((1 - weight) if there else 1.0)
        total -= math.log(e * (1 - hidden) + (1 - e) * hidden)
    return total


@pytest.mark.parametrize("soft", [False, True], ids=["certain", "soft"])
def test_em_comes_to_the_optimum_of_brute_force(soft: bool) -> None:
    """One fault, one finding, 60 sessions; the evidence's own likelihood on a grid, refined."""
    rng, told = np.random.default_rng(11), []
    for _ in range(60):
        there = bool(rng.random() < 0.5)
        seen = rng.random() < (0.73 if there else 0.15)
        told.append((there, (0.8 if seen else 0.25) if soft and rng.random() < 0.6 else float(seen)))
    flow = small_flow(0.1, {"load": 0.4})
    sessions = [
        session(n, ProvedFaults(("load",) if t else ("hub",)), {"x0": e}) for n, (t, e) in enumerate(told)
    ]
    found = by_id(fit_weights(flow, sessions).estimates)
    best = brute(
        lambda x: posterior_loss(x, told, (0.1, 0.4)), ((0.01, 0.99), (0.01, 0.99)), Ns=50, workers=1
    )
    assert [found[LEAK].new, found[LOAD].new] == pytest.approx(best, abs=2e-3 if soft else 3e-4)


def test_a_doubtful_fault_counts_by_how_likely_it_was() -> None:
    """Two were repaired and one of them shows x0 nearly always: where x0 was seen that one was there; Bayes by hand."""
    flow = small_flow(0.05, {"hub": 0.9})
    kind = "front-loader"
    doubt = ProvedFaults((), ("load", "hub"))
    sets = possible_sets(flow, doubt, kind, 0)
    assert {s.faults for s in sets} == {frozenset({"load"}), frozenset({"hub"}), frozenset({"load", "hub"})}
    fitted = fit_weights(flow, [session(0, doubt, {"x0": 1.0})])
    odds = {s.faults: math.exp(s.log_odds) for s in sets}
    shown = {True: 1 - 0.95 * 0.1, False: 0.05}
    want = [odds[s.faults] * shown["hub" in s.faults] for s in sets]
    assert fitted.chances == pytest.approx(np.array(want) / sum(want))


@pytest.mark.parametrize("seed", [1, 2])
def test_two_starts_come_to_the_same_numbers(seed: int) -> None:
    """400 sessions at the shake flow, soft evidence among them: from the flow's numbers and from .5 everywhere."""
    sessions = [*drawn(shake(), 200, seed), *drawn(shake(), 200, seed + 10, sureness=0.85)]
    own, half = (fit_weights(shake(), sessions, start=start) for start in (None, 0.5))
    assert own.settled and half.settled
    assert max(abs(a.new - b.new) for a, b in zip(own.estimates, half.estimates, strict=True)) < 2e-4


def test_right_numbers_are_left_alone_and_wrong_ones_are_found() -> None:
    """Sessions as the flow's own network draws them: few numbers change, about one in twenty of those that could; with
    a number of the flow put wrong it is found.
    """
    sessions = drawn(shake(), 1_200, 5)
    found = fit_weights(shake(), sessions).estimates
    enough = [e for e in found if e.standing is not NumberStanding.FEW]
    assert len(enough) > 100
    assert len(changes(enough)) <= 0.08 * len(enough)
    wrong = NumberId(NumberKind.WEIGHT, "bang-in-ramp", "dampers-worn")
    bent = with_numbers(shake(), {wrong: 0.2})
    told = by_id(fit_weights(bent, sessions).estimates)[wrong]
    assert told.standing is NumberStanding.CHANGE
    right = shake().findings["bang-in-ramp"].weights["dampers-worn"]
    assert abs(told.new - right) < 0.2 * abs(told.old - right), "ten cases of .2 against those seen"


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    """One weight and its leak, drawn 120 times: within the interval of 95 in 100, as near as chance lets it."""
    flow = small_flow(0.2, {"load": 0.6})
    rng, held = np.random.default_rng(3), 0
    for _ in range(120):
        told = []
        for n in range(80):
            there = n % 2 == 0
            seen = rng.random() < (1 - 0.8 * 0.4 if there else 0.2)
            told.append(session(n, ProvedFaults(("load",) if there else ("hub",)), {"x0": float(seen)}))
        one = by_id(fit_weights(flow, told).estimates)
        held += one[LOAD].low <= 0.6 <= one[LOAD].high
    assert 107 <= held <= 120


def test_too_few_say_how_many_are_missing_and_leave_the_number() -> None:
    """Five sessions with the fault where eight are wanted; what was not asked has none."""
    flow = small_flow(0.1, {"load": 0.4}, count=2)
    sessions = [session(n, ProvedFaults(("load",)), {"x0": 1.0}) for n in range(5)]
    found = by_id(fit_weights(flow, sessions).estimates)
    assert (found[LOAD].missing, found[LOAD].new, found[LOAD].standing) == (3, 0.4, NumberStanding.FEW)
    never = found[NumberId(NumberKind.WEIGHT, "x1", "load")]
    assert (never.sessions, never.missing, never.new) == (0.0, 8, 0.4)


def test_a_finding_that_was_not_asked_drops_out() -> None:
    """Sessions that never asked it change nothing of it."""
    flow = small_flow(0.1, {"load": 0.4}, count=2)
    asked = [session(n, ProvedFaults(("load",)), {"x0": float(n % 2)}) for n in range(20)]
    more = [session(50 + n, ProvedFaults(("load",)), {"x1": 1.0}) for n in range(20)]
    one, both = (by_id(fit_weights(flow, some).estimates) for some in (asked, asked + more))
    assert one[LOAD] == both[LOAD]


def test_the_prior_stands_around_the_trainers_number() -> None:
    """What was learned and taken before is not counted as the trainer's word a second time."""
    flow, sessions = small_flow(0.1, {"load": 0.4}), []
    for n in range(10):
        sessions.append(session(n, ProvedFaults(("load",)), {"x0": 1.0}))
    first = by_id(fit_weights(flow, sessions).estimates)[LOAD]
    taken = with_numbers(flow, {LOAD: first.new})
    again = by_id(fit_weights(taken, sessions, trainer={LOAD: 0.4}).estimates)[LOAD]
    twice = by_id(fit_weights(taken, sessions).estimates)[LOAD]
    assert again.new == pytest.approx(first.new, abs=1e-6) and twice.new > first.new + 0.02


def test_what_the_flow_does_not_have_drops_out() -> None:
    """A finding and a fault of an older version of the flow."""
    flow = small_flow(0.1, {"load": 0.4})
    odd: list[Observation] = [
        session(n, ProvedFaults(("gone",)), {"x0": 0.0, "gone-too": 1.0}) for n in range(3)
    ]
    assert by_id(fit_weights(flow, odd).estimates)[LOAD].sessions == 0.0
    assert theta_of(np.array([0.4]))[0] == pytest.approx(-math.log(0.6))


def test_a_number_that_is_sure_is_not_contradicted_by_what_agrees() -> None:
    """The flow says always, and it always was; once it was not, that is no proof of the opposite. Never likewise."""
    flow = small_flow(0.0, {"load": 1.0})
    told = [session(n, ProvedFaults(("load",)), {"x0": 1.0}) for n in range(40)]
    told += [session(50 + n, ProvedFaults(("hub",)), {"x0": 0.0}) for n in range(40)]
    found = by_id(fit_weights(flow, told).estimates)
    assert [found[LEAK].standing, found[LOAD].standing] == [NumberStanding.AGREES] * 2
    assert not changes(found.values())
    often = [session(n, ProvedFaults(("load",)), {"x0": float(n % 2)}) for n in range(40)]
    assert by_id(fit_weights(flow, often).estimates)[LOAD].standing is NumberStanding.CHANGE
