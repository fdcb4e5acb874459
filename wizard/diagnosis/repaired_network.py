"""The network of a machine on which something was repaired: what is asked again speaks of what is left.

A finding of before the repair is explained by what was repaired. The same finding after it is a column of its own, in
which the repaired fault is healthy: there only what is left explains it, or a repair that didn't hold.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from wizard.diagnosis.network_model import Network

NOT_HELD = 0.04
"""How often a fault is there after its repair: a new part that is bad, or one fitted wrong. An estimate."""


def column(finding: str, repair: int) -> str:
    """The column of a finding after the ``repair``-th repair, from 1; before any of them the finding's own id."""
    return f"{finding} after repair {repair}" if repair else finding


def last_change(network: Network, repairs: Sequence[str], finding: str, count: int) -> int:
    """Which of the first ``count`` ``repairs`` (fault ids, in order) last changed what shows the finding; 0: none.

    A finding that no repaired fault shows is the same as before. Raises ValueError naming what the network hasn't got.
    """
    j = network.finding(finding)
    for place in range(min(count, len(repairs)), 0, -1):
        if network.weights[network.fault(repairs[place - 1]), j] > 0.0:
            return place
    return 0


def with_repairs(network: Network, repairs: Sequence[str], answered: Collection[str] = ()) -> Network:
    """The network after these ``repairs``, fault ids in the order in which they were made.

    A repaired fault stands under its own id as what it would be now: there in spite of its repair (`NOT_HELD`). What
    it was before is kept as one of ``past``. Of a finding there is the column that can be asked now, and of earlier
    ones those ``answered`` (by `column`). Raises ValueError naming a fault that the network hasn't got.
    """
    if not repairs:
        return network
    bodies = _bodies(network, repairs)
    columns = list(_columns(network, repairs, answered))
    severities, by_severity = network.by_severities
    weights = np.zeros((len(bodies), severities.shape[1], len(columns)))
    for row, (fault, since, until) in enumerate(bodies):
        for place, (finding, repair) in enumerate(columns):
            if since <= repair < until:
                weights[row, :, place] = by_severity[network.fault(fault), :, network.finding(finding)]
    shares = severities[[network.fault(fault) for fault, _, _ in bodies]]
    apart = network.severities is not None
    last = len(repairs) + 1
    ids = [fault if until == last else f"{fault} until repair {until}" for fault, _, until in bodies]
    return replace(
        network,
        faults=tuple(ids),
        findings=tuple(column(f, r) for f, r in columns),
        priors=np.array([NOT_HELD if since else network.priors[network.fault(f)] for f, since, _ in bodies]),
        weights=network.mean_weights(shares, weights),
        severities=shares if apart else None,
        by_severity=weights if apart else None,
        leaks=np.array([network.leaks[network.finding(f)] for f, _ in columns]),
        fault_says={
            i: _words(network.say_fault(f), since) for i, (f, since, _) in zip(ids, bodies, strict=True)
        },
        finding_says={
            column(f, r): network.say_finding(f) + (", after the repair" if r else "") for f, r in columns
        },
        past=frozenset(i for i, (_, _, until) in zip(ids, bodies, strict=True) if until < last),
        since=frozenset(i for i, (_, since, _) in zip(ids, bodies, strict=True) if since),
    )


def _words(says: str, since: int) -> str:
    """The fault's words; of one that was repaired that it may be there in spite of it."""
    return f"Not put right: {says}" if since else says


def _bodies(network: Network, repairs: Sequence[str]) -> list[tuple[str, int, int]]:
    """Each fault with the repair since which, and the one until which, it may be there as one and the same."""
    for fault in repairs:
        network.fault(fault)
    found = []
    for fault in network.faults:
        ends = [0, *(n for n, repaired in enumerate(repairs, 1) if repaired == fault), len(repairs) + 1]
        found += [(fault, since, until) for since, until in pairwise(ends)]
    return found


def _columns(
    network: Network, repairs: Sequence[str], answered: Collection[str]
) -> dict[tuple[str, int], None]:
    """Every finding with the repair that it is asked after: now, and those answered before."""
    found: dict[tuple[str, int], None] = {}
    for finding in network.findings:
        now = last_change(network, repairs, finding, len(repairs))
        for repair in range(now + 1):
            if repair == now or column(finding, repair) in answered:
                found[finding, repair] = None
    return found
