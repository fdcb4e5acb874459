"""Observations drawn from a flow's own network, and small flows for it: what learning is tested on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache

import numpy as np

from wizard.diagnosis.network_builder import build
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Finding, Flow
from wizard.learning.observation import Observation
from wizard.learning.proved_faults import ProvedFaults

BEGAN = datetime(2026, 1, 1, tzinfo=UTC)
MACHINE = {"kind": "front-loader"}


@lru_cache(maxsize=1)
def shake() -> Flow:
    """The shake flow, not checked: its own tests do."""
    return load(folder_of("washer-shake"), lambda _digest: True)


def small_flow(leak: float, weights: Mapping[str, float], count: int = 1) -> Flow:
    """The shake flow with ``count`` findings alone, all alike: 'x0', 'x1', ..."""
    found = {f"x{n}": Finding(f"x{n}", f"Finding {n}", leak, dict(weights)) for n in range(count)}
    return replace(shake(), findings=found, digest=f"small {leak} {weights} {count}")


def session(
    number: int,
    faults: ProvedFaults | None,
    evidence: Mapping[str, float],
    facts: Mapping[str, str] = MACHINE,
) -> Observation:
    """A closed session, one a day."""
    at = (BEGAN + timedelta(days=number)).isoformat()
    return Observation(f"s{number}", at, dict(facts), faults, dict(evidence), dict(evidence))


def drawn(
    flow: Flow,
    count: int,
    seed: int,
    facts: Mapping[str, str] = MACHINE,
    asked: float = 0.4,
    sureness: float = 1.0,
    proved: float = 1.0,
) -> list[Observation]:
    """Sessions as the flow's own network has them: a complaint, ``asked`` of the findings asked at random.

    ``sureness`` below 1: evidence is soft, and the finding is as often there as it says. ``proved``: so many
    have labels.
    """
    rng, network = np.random.default_rng(seed), build(flow, facts)
    alone = np.isin(np.array(network.faults), network.alone)
    found = []
    while len(found) < count:
        there = rng.random(len(network.faults)) < network.priors
        if not there.any() or ((there & alone).any() and there.sum() > 1):
            continue
        shown = 1.0 - (1.0 - network.leaks) * np.prod(1.0 - network.weights[there], axis=0)
        seen = rng.random(shown.size) < shown
        said = seen if sureness == 1.0 else np.where(rng.random(shown.size) < sureness, seen, ~seen)
        e = np.where(said, sureness, 1.0 - sureness)
        told = {
            f: float(v)
            for f, v, a in zip(network.findings, e, rng.random(shown.size) < asked, strict=True)
            if a
        }
        names = tuple(f for f, is_there in zip(network.faults, there, strict=True) if is_there)
        label = ProvedFaults(names) if rng.random() < proved else None
        found.append(session(len(found), label, told, facts))
    return found
