"""The advice against the best that can be done: on small networks every policy is gone through, by dynamic programming.

A policy asks checks, each for its minutes, until it stops; then each fault is repaired or left, whichever mistake is
expected to be cheaper (Howard 1966, information value theory: from memory). The figures of many networks:
python -m tests.diagnosis.test_small_optimum
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.next_inspection.advice import advise
from wizard.diagnosis.next_inspection.candidates import InspectionCandidate
from wizard.diagnosis.next_inspection.mistake_costs import RepairCost

Seen = tuple[float | None, ...]
"""What each check found: 1 seen, 0 not seen, None not asked."""


class SmallJob:
    """A network of some faults and as many checks as findings, with what checks and mistakes cost, all drawn."""

    def __init__(self, seed: int, faults: int = 4, checks: int = 5) -> None:
        rng = np.random.default_rng(seed)
        names = tuple(f"f{i}" for i in range(faults))
        findings = tuple(f"x{j}" for j in range(checks))
        weights = np.where(rng.random((faults, checks)) < 0.5, rng.uniform(0.4, 0.95, (faults, checks)), 0.0)
        priors, leaks = rng.uniform(0.05, 0.4, faults), rng.uniform(0.01, 0.15, checks)
        self.network = Network(names, findings, priors, weights, leaks)
        self.minutes = rng.uniform(2.0, 20.0, checks)
        self.costs = {
            name: RepairCost(float(rng.uniform(5, 90)), float(rng.choice([0.0, 10.0, 40.0, 120.0])), 120.0)
            for name in names
        }
        self.none: Seen = (None,) * checks
        self.chance = cache(self._chance)
        self.mistake = cache(self._mistake)

    def evidence(self, seen: Seen) -> dict[str, float]:
        """What was found, as evidence."""
        return {f: e for f, e in zip(self.network.findings, seen, strict=True) if e is not None}

    def open(self, seen: Seen) -> list[int]:
        """The checks not made yet."""
        return [j for j, e in enumerate(seen) if e is None]

    def _mistake(self, seen: Seen) -> float:
        """Minutes that are expected to be lost if it is decided now: for each fault the cheaper mistake."""
        present = weigh(self.network, self.evidence(seen)).probabilities
        costs = [self.costs[fault] for fault in self.network.faults]
        return float(sum(min(p * c.missed, (1.0 - p) * c.wrong) for p, c in zip(present, costs, strict=True)))

    def _chance(self, seen: Seen, check: int) -> float:
        """How likely the check is to show its finding."""
        logs = [weigh(self.network, self.evidence(put(seen, check, e))).log_evidence for e in (1.0, 0.0)]
        return float(1.0 / (1.0 + np.exp(logs[1] - logs[0])))

    def advised(self, seen: Seen) -> int | None:
        """The check that the advice takes, or None to stop."""
        return self.led(seen, self.costs)

    def by_minutes(self, seen: Seen) -> int | None:
        """The same for advice to which parts are worth nothing."""
        return self.led(seen, {fault: replace(cost, parts=0.0) for fault, cost in self.costs.items()})

    def led(self, seen: Seen, costs: Mapping[str, RepairCost]) -> int | None:
        """The check that advice with these costs takes, or None."""
        open_now = [
            InspectionCandidate(f"{j}", f"{j}", self.minutes[j], {f"x{j}": 1.0}) for j in self.open(seen)
        ]
        found = advise(self.network, self.evidence(seen), open_now, costs)
        return None if found.enough else int(found.inspections[0].id)

    def in_order(self, seen: Seen) -> int | None:
        """The next check in a fixed order, to the last."""
        return next(iter(self.open(seen)), None)

    def expected(self, policy: Callable[[Seen], int | None]) -> float:
        """Minutes expected by a policy: its checks, and the mistakes that are left."""

        @cache
        def from_here(seen: Seen) -> float:
            check = policy(seen)
            return self.mistake(seen) if check is None else self.after(seen, check, from_here)

        return from_here(self.none)

    def after(self, seen: Seen, check: int, value: Callable[[Seen], float]) -> float:
        """Minutes expected with this check made next, and ``value`` from there."""
        shown = self.chance(seen, check)
        left = shown * value(put(seen, check, 1.0)) + (1.0 - shown) * value(put(seen, check, 0.0))
        return float(self.minutes[check]) + left

    def best(self) -> float:
        """Minutes expected by the best policy that there is."""

        @cache
        def from_here(seen: Seen) -> float:
            asked = (self.after(seen, check, from_here) for check in self.open(seen))
            return min([self.mistake(seen), *asked])

        return from_here(self.none)


def put(seen: Seen, check: int, found: float) -> Seen:
    """What was seen, with one check more."""
    return (*seen[:check], found, *seen[check + 1 :])


def figures(seeds: range) -> Mapping[str, float]:
    """Mean minutes of each way over networks of these seeds."""
    rows = []
    for seed in seeds:
        job = SmallJob(seed)
        policies = (job.advised, job.by_minutes, job.in_order)
        rows.append([job.best(), *map(job.expected, policies), job.mistake(job.none)])
    ways = ("best", "advice", "parts worth 0", "all in order", "none")
    return dict(zip(ways, np.mean(rows, axis=0).tolist(), strict=True))


@pytest.mark.parametrize("seed", range(3))
def test_no_policy_is_better_than_the_best(seed: int) -> None:
    """The best is no worse than the advice, all checks in order, and none: else the brute force is wrong."""
    job = SmallJob(seed, faults=3, checks=4)
    best = job.best()
    assert best <= job.expected(job.advised) + 1e-9
    assert best <= job.expected(job.in_order) + 1e-9 and best <= job.mistake(job.none) + 1e-9


def test_the_advice_comes_near_the_best() -> None:
    """Over a dozen small networks it costs little more than the best policy, and less than asking all or nothing."""
    found = figures(range(12))
    assert found["advice"] <= 1.08 * found["best"]
    assert found["advice"] < found["all in order"] and found["advice"] < found["none"]


if __name__ == "__main__":
    for way, minutes in figures(range(60)).items():
        print(f"{way:14}{minutes:7.1f} min")
