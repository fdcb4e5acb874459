"""The posterior against pgmpy's variable elimination. Needs the extra 'oracle'."""

from __future__ import annotations

import itertools
import math
import warnings
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from tests.diagnosis.test_severities import of_severities
from tests.helpers.networks import posterior, problems, random_network
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.diagnosis.noisy_or.inference import infer

pytestmark = [pytest.mark.oracle, pytest.mark.filterwarnings("ignore")]


def pgmpy_posterior(priors: Any, weights: Any, leaks: Any, evidence: dict[int, float]) -> np.ndarray:
    """The same network as full tables, soft evidence as virtual evidence, eliminated by pgmpy."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        pytest.importorskip("pgmpy")
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.inference import VariableElimination
        from pgmpy.models import DiscreteBayesianNetwork
    faults = [f"fault{i}" for i in range(len(priors))]
    model = DiscreteBayesianNetwork()
    model.add_nodes_from(faults)
    model.add_cpds(*(TabularCPD(name, 2, [[1 - q], [q]]) for name, q in zip(faults, priors, strict=True)))
    for j in evidence:
        causes = [i for i in range(len(priors)) if weights[i][j] > 0]
        hidden = [
            (1 - leaks[j])
            * math.prod(1 - weights[i][j] for i, there in zip(causes, row, strict=True) if there)
            for row in itertools.product((0, 1), repeat=len(causes))
        ]
        model.add_node(f"finding{j}")
        model.add_edges_from((faults[i], f"finding{j}") for i in causes)
        table = [hidden, [1 - h for h in hidden]]
        names = [faults[i] for i in causes]
        model.add_cpds(
            TabularCPD(
                f"finding{j}", 2, table, evidence=names or None, evidence_card=[2] * len(names) or None
            )
        )
    hard = {f"finding{j}": int(e) for j, e in evidence.items() if e in (0.0, 1.0)}
    soft = [TabularCPD(f"finding{j}", 2, [[1 - e], [e]]) for j, e in evidence.items() if 0.0 < e < 1.0]
    solver = VariableElimination(model)
    answer = [
        solver.query([name], evidence=hard, virtual_evidence=soft or None, show_progress=False)
        for name in faults
    ]
    return np.array([factor.values[1] for factor in answer])


@settings(max_examples=25, deadline=None)
@given(problems(most_faults=6, most_findings=6))
def test_equals_pgmpy(problem: tuple) -> None:
    """Random networks with hard and soft evidence: the same as pgmpy to 1e-9."""
    priors, weights, leaks, evidence = problem
    expected = pgmpy_posterior(priors, weights, leaks, dict(evidence))
    np.testing.assert_allclose(posterior(priors, weights, leaks, evidence), expected, rtol=0, atol=1e-9)


def test_equals_pgmpy_with_ten_seen_and_tiny_leaks() -> None:
    """Ten faults, ten findings seen, leaks of 1e-4: the same as pgmpy to 1e-9."""
    priors, weights, _ = random_network(np.random.default_rng(3), 10, 12, 0.6)
    leaks = np.full(12, 1e-4)
    evidence = dict.fromkeys(range(10), 1.0) | {10: 0.0, 11: 0.2}
    expected = pgmpy_posterior(priors, weights, leaks, evidence)
    np.testing.assert_allclose(posterior(priors, weights, leaks, evidence), expected, rtol=0, atol=1e-9)


def pgmpy_severities(problem: tuple) -> np.ndarray:
    """Faults of four states and findings of four levels as full tables, n x s, eliminated by pgmpy.

    Of plain evidence only level 0 and the others are told apart.
    """
    priors, weights, leaks, evidence, severities, leak_levels = problem
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        pytest.importorskip("pgmpy")
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.inference import VariableElimination
        from pgmpy.models import DiscreteBayesianNetwork
    kinds = len(leak_levels)
    faults, states = [f"fault{i}" for i in range(len(priors))], 1 + kinds
    model = DiscreteBayesianNetwork()
    model.add_nodes_from(faults)
    for name, prior, shares in zip(faults, priors, severities, strict=True):
        model.add_cpds(TabularCPD(name, states, [[1 - prior], *([prior * share] for share in shares)]))
    virtual = []
    for j, e in evidence.items():
        columns = []
        for row in itertools.product(range(states), repeat=len(faults)):
            up_to = [1 - leaks[j] * sum(leak_levels[x:]) for x in range(states)]
            for i, at in enumerate(row):
                for x in range(at):
                    up_to[x] *= 1 - weights[i][at - 1][j]
            columns.append(np.diff(np.array([0.0, *up_to])))
        model.add_node(f"finding{j}")
        model.add_edges_from((name, f"finding{j}") for name in faults)
        table = np.maximum(np.array(columns).T, 0.0)
        cards = [states] * len(faults)
        model.add_cpds(
            TabularCPD(f"finding{j}", states, table / table.sum(axis=0), evidence=faults, evidence_card=cards)
        )
        like = e.likelihoods if isinstance(e, GradedEvidence) else (1 - e, *[e] * kinds)
        virtual.append(TabularCPD(f"finding{j}", states, [[each / sum(like)] for each in like]))
    solver = VariableElimination(model)
    return np.array(
        [
            solver.query([name], virtual_evidence=virtual or None, show_progress=False).values[1:]
            for name in faults
        ]
    )


@settings(max_examples=15, deadline=None)
@given(of_severities(most_faults=4, most_findings=4))
def test_severities_equal_pgmpys(problem: tuple) -> None:
    """Random networks of faults of three severities, graded evidence as virtual evidence: the same to 1e-9."""
    priors, weights, leaks, evidence, severities, levels = problem
    found = infer(priors, weights, leaks, evidence, severities=severities, leak_levels=levels).severities
    np.testing.assert_allclose(found, pgmpy_severities(problem), rtol=0, atol=1e-9)
