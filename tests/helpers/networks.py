"""The oracle (every subset of the faults, term by term) and random networks, for the tests of diagnosis."""

from __future__ import annotations

import itertools
import math
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import strategies as st

from wizard.diagnosis.fault_ranking import FaultProbability, ranked
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.noisy_or.inference import infer

DATA = Path(__file__).parent / "data"


def brute_force(
    priors: Any, weights: Any, leaks: Any, evidence: Mapping[int, float]
) -> tuple[np.ndarray, float]:
    """P(fault present | evidence) for each fault, and P(evidence), summed exactly over all subsets."""
    count = len(priors)
    terms: list[float] = []
    with_fault: list[list[float]] = [[] for _ in range(count)]
    for present in itertools.product((False, True), repeat=count):
        term = math.prod(q if there else 1 - q for q, there in zip(priors, present, strict=True))
        for j, e in evidence.items():
            hidden = (1 - leaks[j]) * math.prod(1 - weights[i][j] for i in range(count) if present[i])
            term *= e * (1 - hidden) + (1 - e) * hidden
        terms.append(term)
        for i in range(count):
            if present[i]:
                with_fault[i].append(term)
    total = math.fsum(terms)
    return np.array([math.fsum(each) / total for each in with_fault]), total


def random_network(
    rng: np.random.Generator, faults: int, findings: int, filled: float = 1.0
) -> tuple[Any, ...]:
    """Priors, weights and leaks of a plausible network; ``filled`` is the share of weights that aren't 0."""
    priors = rng.uniform(0.002, 0.05, faults)
    weights = rng.uniform(0.05, 0.95, (faults, findings)) * (rng.random((faults, findings)) < filled)
    return priors, weights, rng.uniform(0.001, 0.1, findings)


probability = st.floats(0.0, 1.0, allow_subnormal=False)
inner = st.floats(0.01, 0.99)
weight = st.one_of(st.just(0.0), st.just(1.0), inner, inner)


@st.composite
def problems(draw: st.DrawFn, *, most_faults: int = 8, most_findings: int = 12) -> tuple[Any, ...]:
    """A random network with hard and soft evidence that is possible."""
    n = draw(st.integers(1, most_faults))
    m = draw(st.integers(1, most_findings))
    priors = draw(st.lists(inner, min_size=n, max_size=n))
    rows = st.lists(weight, min_size=m, max_size=m)
    weights = draw(st.lists(rows, min_size=n, max_size=n))
    leaks = draw(st.lists(st.sampled_from([1e-4, 1e-3, 0.02, 0.1, 0.5]), min_size=m, max_size=m))
    evidence = draw(st.dictionaries(st.integers(0, m - 1), st.one_of(st.just(0.0), st.just(1.0), inner)))
    return priors, weights, leaks, evidence


@cache
def washer() -> dict[str, Any]:
    """The first fault table of a washer that shakes; every number in it is an estimate."""
    return tomllib.loads((DATA / "washer.toml").read_text(encoding="utf-8"))


def washer_network(kind: str) -> Network:
    """The washer's network for a machine of this kind: FL, TLh or TLb."""
    table = washer()
    faults = [fault for fault in table["fault"] if kind in fault["share"]]
    findings = [finding for finding in table["finding"] if kind in finding["kinds"]]
    return Network(
        faults=tuple(fault["id"] for fault in faults),
        findings=tuple(finding["id"] for finding in findings),
        priors=np.array([table["occupancy"] * fault["share"][kind] / 100 for fault in faults]),
        weights=np.array([[finding["p"].get(fault["id"], 0.0) for finding in findings] for fault in faults]),
        leaks=np.array([finding["leak"] for finding in findings]),
        alone=("normal",),
        fault_says={fault["id"]: fault["says"] for fault in faults},
        finding_says={finding["id"]: finding["says"] for finding in findings},
    )


def rank(network: Network, evidence: Mapping[str, float]) -> tuple[FaultProbability, ...]:
    """The faults by their posterior, given this evidence."""
    return ranked(network, weigh(network, evidence))


def posterior(priors: Any, weights: Any, leaks: Any, evidence: Mapping[int, float]) -> np.ndarray:
    """P(fault present | evidence) for each fault, by the program; it must be exact."""
    result = infer(priors, weights, leaks, evidence)
    assert result.exact
    return result.probabilities


def expected_minutes(probabilities: Any, minutes: Any, order: Any) -> float:
    """Expected minutes until a search ends, trying in this order: each try is paid if none before ended it."""
    left, total = 1.0, 0.0
    for place in order:
        total += left * minutes[place]
        left -= probabilities[place]
    return float(total)
