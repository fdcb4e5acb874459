"""What would be believed without an answer: one table against leaving each out in turn, and against listing all."""

from __future__ import annotations

import numpy as np
import pytest

from tests.helpers.networks import washer_network
from wizard.diagnosis.answer_left_out import MOST_EXACT, each_left_out
from wizard.diagnosis.network_builder import build
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

LARGEST, KINDS = 0.01, ("FL", "TLh", "TLb")


def drawn(network: Network, seed: int, count: int, graded: float = 0.0) -> dict[str, float]:
    """So many answers as one fault of the network, drawn too, would give them."""
    draw = np.random.default_rng(seed)
    fault = int(draw.choice(len(network.faults), p=network.priors / network.priors.sum()))
    shown = 1.0 - (1.0 - network.leaks) * (1.0 - network.weights[fault])
    chosen = draw.choice(len(network.findings), size=min(count, len(network.findings)), replace=False)
    found: dict[str, float] = {}
    for place in map(int, chosen):
        seen = bool(draw.random() < shown[place])
        e = float(draw.choice([1.0, 0.95, 0.8])) if seen else float(draw.choice([0.0, 0.05, 0.2]))
        ratios = np.sort(draw.normal(2.0 if seen else -2.0, 1.0, 3))
        found[network.findings[place]] = GradedEvidence(e, ratios) if draw.random() < graded else e
    return found


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(4))
def test_the_table_comes_near_what_is_exact(kind: str, seed: int) -> None:
    """Of every answer of twelve and of sixteen left out, for every fault."""
    network = washer_network(kind)
    for count in (MOST_EXACT + 4, MOST_EXACT + 8):
        evidence = drawn(network, seed, count)
        for name, found in each_left_out(network, evidence).items():
            rest = {other: e for other, e in evidence.items() if other != name}
            assert np.abs(found - weigh(network, rest).probabilities).max() < LARGEST, (name, evidence)


@pytest.mark.parametrize("seed", range(3))
def test_the_table_comes_near_what_is_exact_where_severities_are_told_apart(seed: int) -> None:
    """On the network of the shipped flow, half of the answers graded."""
    network = build(load(folder_of("washer-shake")), {"kind": "front-loader"})
    evidence = drawn(network, seed, MOST_EXACT + 2, graded=0.5)
    for name, found in each_left_out(network, evidence).items():
        rest = {other: e for other, e in evidence.items() if other != name}
        assert np.abs(found - weigh(network, rest).probabilities).max() < LARGEST, (name, evidence)


def test_few_answers_are_left_out_exactly() -> None:
    """As `weigh` has the rest, to the last bit."""
    network = washer_network("FL")
    evidence = drawn(network, 7, MOST_EXACT)
    for name, found in each_left_out(network, evidence).items():
        rest = {other: e for other, e in evidence.items() if other != name}
        assert (found == weigh(network, rest).probabilities).all()


def test_an_answer_that_alone_forbids_a_fault_is_taken_out_whole() -> None:
    """A factor of nothing leaves no trace: without it the fault is as likely as if nobody had asked."""
    network = Network(
        ("a", "b"), tuple(f"f{n}" for n in range(10)), np.array([0.5, 0.1]),
        np.vstack((np.ones(10), np.full(10, 0.3))), np.full(10, 0.2),
    )  # fmt: skip
    evidence = {"f0": 0.0} | {f"f{n}": 1.0 for n in range(1, 10)}
    found = each_left_out(network, evidence)
    rest = {name: e for name, e in evidence.items() if name != "f0"}
    assert found["f0"] == pytest.approx(weigh(network, rest).probabilities, abs=1e-9)
    assert found["f0"][0] > 0.9 and found["f1"][0] < 1e-6
