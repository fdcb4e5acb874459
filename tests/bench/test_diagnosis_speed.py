"""How long the ranking and the advice take. Run with: python -m pytest tests/bench/test_diagnosis_speed.py

The unit is the same sum written out in numpy, in the same run: over all subsets of ten findings that were seen, the
product over 24 faults (inclusion and exclusion; Heckerman 1989), and each fault's share of it. It knows no severity,
no doubt, no bound and no name. What that takes on this machine now is printed; so is the ratio to a reference library
where it is installed.
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable, Iterable
from functools import partial

import numpy as np
import pytest

from tests.bench.budget import within
from tests.helpers.networks import posterior, random_network, rank, washer, washer_network
from wizard.diagnosis import network_posterior
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.next_inspection.advice import advise
from wizard.diagnosis.next_inspection.candidates import InspectionCandidate
from wizard.diagnosis.next_inspection.mistake_costs import RepairCost
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.diagnosis.noisy_or.inference import infer
from wizard.diagnosis.severity_weights import by_severity

POSTERIOR, SEVERITIES, RANKING, ADVICE, BOUND, SOFT = 42, 60, 50, 100, 1_500, 400
UNIT = "the sum over all subsets written out in numpy"
FAULTS, FINDINGS, SEEN = 24, 60, 10
# The thread's own time where the platform tells it finely: what other programs take is not counted.
FINE = time.get_clock_info("thread_time").resolution <= 1e-4
CLOCK = time.thread_time if FINE else time.perf_counter


def timed(calls: Iterable[Callable[[], object]]) -> np.ndarray:
    """Seconds of each call, the best of three, so that another program's turn isn't counted."""
    return np.array([min(_once(call) for _ in range(3)) for call in calls])


def _once(call: Callable[[], object]) -> float:
    """Seconds of one call, with nothing remembered of an earlier one."""
    network_posterior._remembered.cache_clear()
    start = CLOCK()
    call()
    return CLOCK() - start


def said(what: str, seconds: np.ndarray) -> float:
    """Print the median and the 95th percentile; give the latter in units."""
    p50, p95 = np.percentile(seconds, [50, 95])
    unit = float(np.median(timed([partial(written_out, *problem())] * 20)))
    print(
        f"\n{what}: median {p50 * 1e3:.2f} ms, p95 {p95 * 1e3:.2f} ms; the sum written out {unit * 1e3:.2f} ms"
    )
    return float(p95) / unit


def written_out(priors: np.ndarray, weights: np.ndarray, leaks: np.ndarray, evidence: dict) -> np.ndarray:
    """Each fault's posterior, for evidence that is 1 or 0: by all subsets of what was seen."""
    seen = [j for j, e in evidence.items() if e == 1.0]
    ruled = [j for j, e in evidence.items() if e == 0.0]
    subsets = (np.arange(2 ** len(seen))[:, None] >> np.arange(len(seen))) & 1
    not_shown = np.log1p(-weights)
    shown = np.exp(subsets @ not_shown[:, seen].T + not_shown[:, ruled].sum(axis=1))
    sums = 1.0 - priors + priors * shown
    signs = np.where(subsets.sum(axis=1) % 2, -1.0, 1.0) * np.exp(subsets @ np.log1p(-leaks[seen]))
    whole = signs * sums.prod(axis=1)
    return (whole[:, None] * (priors * shown / sums)).sum(axis=0) / whole.sum()


def problem(seed: int = 0) -> tuple:
    """24 faults, 60 findings, every weight above 0, 10 seen and 20 ruled out: the worst for the exact pass."""
    evidence = dict.fromkeys(range(SEEN), 1.0) | dict.fromkeys(range(SEEN, SEEN + 20), 0.0)
    return (*random_network(np.random.default_rng(seed), FAULTS, FINDINGS), evidence)


def big_network() -> Network:
    """The same as a network of names."""
    priors, weights, leaks, _ = problem()
    faults, findings = (tuple(f"{name}{i}" for i in range(n)) for name, n in (("f", FAULTS), ("x", FINDINGS)))
    return Network(faults, findings, priors, weights, leaks, alone=("f0",))


def test_posterior_p95() -> None:
    """24 faults, 60 findings, 10 seen. What is timed is right: both sums agree."""
    assert np.allclose(written_out(*problem()), posterior(*problem()), atol=1e-9)
    calls = [partial(posterior, *problem(seed)) for seed in range(100)]
    within("posterior, 24 faults x 60, 10 seen, p95", said("posterior", timed(calls)), POSTERIOR, UNIT)


def told_apart(seed: int) -> partial:
    """The same with three severities a fault, and two of the ten findings graded, each shown by four faults."""
    priors, weights, leaks, evidence = problem(seed)
    weights[4:, :2] = 0.0
    shares = np.tile([0.35, 0.4, 0.25], (FAULTS, 1))
    strengths = np.broadcast_to(np.array([0.5, 1.0, 2.0])[:, None], (FAULTS, 3, FINDINGS))
    graded = {j: GradedEvidence(0.9, [0.5, 2.0, 4.0]) for j in range(2)}
    apart = by_severity(weights, shares, strengths)
    return partial(infer, priors, apart, leaks, {**evidence, **graded}, severities=shares)


def test_posterior_of_severities_p95() -> None:
    """24 faults x 3 severities x 60 findings, 10 seen."""
    calls = [told_apart(seed) for seed in range(60)]
    p95 = said("posterior of severities", timed(calls))
    within("posterior, 24 x 3 severities x 60, two graded, p95", p95, SEVERITIES, UNIT)


def test_many_seen_are_bounded_in_time() -> None:
    """Twenty seen on thirty faults that may each show all: a bound that says something, soon."""
    priors, weights, leaks = random_network(np.random.default_rng(11), 30, 20)
    call = partial(infer, priors, weights, leaks, dict.fromkeys(range(20), 1.0))
    within("bound, 30 faults, 20 seen", said("bound", timed([call] * 3)), BOUND, UNIT)
    assert 0.0 < call().error_bound < 0.15


def test_ranking_p95() -> None:
    """The same with complaint and an outcome alone, by names."""
    network = big_network()
    evidence = {f"x{j}": e for j, e in problem()[3].items()}
    p95 = said("rank", timed([partial(rank, network, evidence)] * 50))
    within("ranking by names, p95", p95, RANKING, UNIT)


def test_advice_p95() -> None:
    """Advice over 40 steps with two findings each."""
    network = big_network()
    evidence = {"x0": 1.0, "x1": 1.0, "x2": 0.0, "x3": 0.4}
    steps = [
        InspectionCandidate(
            f"s{k}", f"Step {k}", 5, {f"x{4 + k}": 1.0, f"x{5 + k}": 0.9}, "isolated", ("front",)
        )
        for k in range(40)
    ]
    costs = dict.fromkeys(network.faults, RepairCost(40.0, 0.0, 120.0))
    p95 = said("advice, 40 steps", timed([partial(advise, network, evidence, steps, costs)] * 20))
    within("advice over 40 steps, p95", p95, ADVICE, UNIT)


@pytest.mark.parametrize("kind", ["FL", "TLh", "TLb"])
def test_washer_with_everything_soft(kind: str) -> None:
    """Even with every finding of the washer answered by a doubtful reading, it stays exact."""
    network = washer_network(kind)
    rng = np.random.default_rng(1)
    evidence = {
        name: float(e) for name, e in zip(network.findings, rng.uniform(0.02, 0.98, 99), strict=False)
    }
    assert len(washer()["finding"]) >= len(evidence) > 40
    seconds = timed([partial(rank, network, evidence)] * 3)
    within(f"ranking, {kind}, all {len(evidence)} findings soft", said("rank", seconds), SOFT, UNIT)
    assert rank(network, evidence)[0].error_bound == 0.0


def test_posterior_benchmark(benchmark) -> None:
    """The same problem under pytest-benchmark, for its table."""
    benchmark(posterior, *problem())


@pytest.mark.oracle
@pytest.mark.filterwarnings("ignore")
def test_ratio_to_pgmpy() -> None:
    """On a network small enough for full tables, ours is at least ten times as fast as pgmpy's elimination."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        pytest.importorskip("pgmpy")
    from tests.diagnosis.test_inference_oracle import pgmpy_posterior

    priors, weights, leaks = random_network(np.random.default_rng(4), 12, 12, 0.5)
    evidence = dict.fromkeys(range(10), 1.0)
    ours = timed([partial(posterior, priors, weights, leaks, evidence)] * 10).mean()
    theirs = timed([partial(pgmpy_posterior, priors, weights, leaks, evidence)]).mean()
    print(f"\npgmpy / ours: {theirs / ours:.0f} x ({theirs * 1e3:.0f} ms / {ours * 1e3:.2f} ms)")
    within("posterior, so much faster than", theirs / ours, 10, "pgmpy's elimination", least=True)
