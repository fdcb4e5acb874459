"""A study over simulated machines: the flow's order and the advice side by side.

Run from the project's folder: python -m tests.bench.study_diagnosis --machines 1000

Machines with one and with two faults are drawn from the fault table, once with its own numbers and once with
every number perturbed, while the diagnosis goes on believing the table. Findings told are hard evidence;
findings looked at or measured are noisy readings with soft evidence. Minutes of steps, ways in, panels and
repairs are estimates.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from tests.helpers.networks import washer, washer_network
from wizard.diagnosis.fault_ranking import DECIDED, FIRM
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.next_inspection.advice import advise
from wizard.diagnosis.next_inspection.candidates import Access, InspectionCandidate
from wizard.diagnosis.next_inspection.mistake_costs import RepairCost

KINDS = {"FL": 0.5, "TLh": 0.3, "TLb": 0.2}
# Minutes of a step by the finding it tells; steps that tell several are listed under the first.
MINUTES = {
    "load-unsuitable": 1, "load-over": 2, "transit-in": 1, "stack-moves": 1, "floor-gives": 1, "water-left": 1,
    "drain-slow": 3, "suds-seen": 1, "panel-loose": 1, "shakes-empty": 8, "floor-shakes": 1, "peak-mid": 2,
    "rocks": 3, "slope-over": 4, "foot-bad": 3, "tub-rigid": 1, "damper-bounces": 2, "damper-drag-bad": 12,
    "damper-looks-bad": 4, "rod-bounces": 2, "rod-bad": 8, "strap-bad": 2, "tub-leans": 3, "spring-bad": 8,
    "pad-bad": 15, "ring-silent": 3, "ring-crust": 2, "bag-not-tolerated": 8, "play-varies": 5, "run-out": 5,
    "play-even": 3, "rumble": 4, "rust-streak": 3, "block-moves": 3, "mount-broken": 3, "drive-loose": 4,
    "object-found": 6, "hub-rocks": 3, "big-bag-runs": 5, "buzz-gone": 5,
}  # fmt: skip
WITH = {"shakes-empty": ("shakes-empty", "strikes", "peak-in-ramp")}
RUNNING = {"shakes-empty", "floor-shakes", "peak-mid", "drain-slow", "suds-seen"}
FRONT = {"damper-drag-bad", "damper-looks-bad", "block-moves", "mount-broken", "spring-bad", "pad-bad"}
REAR = {"rust-streak", "drive-loose"}
ISOLATE, RESTORE, PANEL = 8.0, 10.0, 8.0
REPAIRS = {
    "load": 15, "overload": 10, "feet": 20, "floor": 30, "transit": 10, "stack": 40, "dampers": 60, "rods": 40,
    "straps": 20, "springs": 55, "pads": 75, "ring": 100, "spider": 240, "bearings": 195, "counterweight": 45,
    "drive": 40, "object": 60, "mount": 200, "hub": 90, "drain": 40, "suds": 20, "sensing": 70, "cabinet": 40,
    "normal": 20,
}  # fmt: skip
COSTS = {fault: RepairCost(minutes, 0.0, 120.0) for fault, minutes in REPAIRS.items()}
# A stricter stop for the flow's order, whose first moment at 0.9 is right only as often as it says.
# The advice calls a fault decided from FIRM once enough is known: its row is 'advice, enough', columns from >=.93.
SURE = 0.97
# A reading is this many of its standard deviations from the edge that parts fault from no fault.
CLEAR = 2.5


@dataclass(frozen=True)
class Machine:
    """A simulated machine: its kind, its faults, and the evidence that each finding would give if asked."""

    kind: str
    faults: frozenset[str]
    answers: Mapping[str, float]


@dataclass
class StudiedJob:
    """Where a technician stands: safety state, open panels, minutes spent."""

    state: str = "covered"
    opened: set[str] = field(default_factory=set)
    minutes: float = 0.0

    def access(self) -> Access:
        """The minutes that the ways in cost now."""
        ways = {"isolated": ISOLATE, "proving": RESTORE, "covered": RESTORE}
        ways.pop(self.state, None)
        if self.state == "proving":
            ways.pop("covered", None)
        return Access(ways, {name: PANEL for name in ("front", "rear") if name not in self.opened})

    def do(self, check: InspectionCandidate) -> None:
        """Do a check: get there, pay for it, stay."""
        access = self.access()
        self.minutes += check.minutes + access.ways.get(check.way, 0.0)
        self.minutes += sum(access.panels.get(name, 0.0) for name in check.panels)
        if check.way and check.way != self.state:
            self.state, self.opened = check.way, set()
        self.opened.update(check.panels)


@dataclass(frozen=True)
class Point:
    """A moment of a job: minutes so far, the leader, its probability, and what it stands on."""

    minutes: float
    order: tuple[str, ...]
    probabilities: np.ndarray


def arrival(network: Network) -> list[str]:
    """The findings asked at arrival, before any check."""
    return [
        f["id"] for f in washer()["finding"] if f["inspection"] == "arrival" and f["id"] in network.findings
    ]


def checks(network: Network) -> list[InspectionCandidate]:
    """The steps of the flow in its own order, each telling a finding or a few."""
    found = []
    for finding in washer()["finding"]:
        name = finding["id"]
        if name not in network.findings or name not in MINUTES:
            continue
        quick = finding["inspection"] == "quick checks"
        state = "" if quick and name not in RUNNING else "covered" if name in RUNNING else finding["state"]
        panels = ("front",) if name in FRONT else ("rear",) if name in REAR else ()
        gives = dict.fromkeys(WITH.get(name, (name,)), 1.0)
        found.append(InspectionCandidate(name, name, float(MINUTES[name]), gives, state, panels))
    return found


def perturbed(network: Network, rng: np.random.Generator, spread: float) -> tuple[np.ndarray, np.ndarray]:
    """Weights and leaks with each log-odds moved by a normal draw of this spread."""

    def moved(p: np.ndarray) -> np.ndarray:
        safe = np.clip(p, 1e-9, 1 - 1e-9)
        return 1 / (1 + np.exp(-(np.log(safe / (1 - safe)) + rng.normal(0, spread, p.shape))))

    return np.where(network.weights > 0, moved(network.weights), 0.0), moved(network.leaks)


def draw(seed: int, count: int, spread: float) -> Machine:
    """A machine with ``count`` faults, and an answer ready for each finding."""
    rng = np.random.default_rng(seed)
    kind = str(rng.choice(list(KINDS), p=list(KINDS.values())))
    network = washer_network(kind)
    weights, leaks = perturbed(network, rng, spread) if spread else (network.weights, network.leaks)
    fit = np.array([count == 1 or name not in network.alone for name in network.faults])
    odds = np.where(fit, network.priors * np.exp(rng.normal(0, spread / 2, fit.size)), 0.0)
    faults = rng.choice(fit.size, count, replace=False, p=odds / odds.sum())
    shown = rng.random(leaks.size) < 1 - (1 - leaks) * np.prod(1 - weights[faults], axis=0)
    reading = rng.normal(np.where(shown, CLEAR, -CLEAR))
    soft = 1 / (1 + np.exp(-2 * CLEAR * reading))
    told = set(arrival(network))
    answers = {
        name: float(shown[j]) if name in told else float(soft[j]) for j, name in enumerate(network.findings)
    }
    return Machine(kind, frozenset(network.faults[i] for i in faults), answers)


def work(machine: Machine, way: str) -> Iterator[Point]:
    """The job step by step: ``way`` is 'order' (to the last step) or 'advice' (until enough is known)."""
    network, job = washer_network(machine.kind), StudiedJob()
    evidence = {name: machine.answers[name] for name in arrival(network)}
    left = checks(network)
    while True:
        probabilities = weigh(network, evidence).probabilities
        order = tuple(network.faults[i] for i in np.argsort(-probabilities))
        yield Point(job.minutes, order, np.sort(probabilities)[::-1])
        if not left:
            return
        chosen = left[0]
        if way == "advice":
            counsel = advise(network, evidence, left, COSTS, access=job.access())
            if counsel.enough:
                return
            chosen = next(check for check in left if check.id == counsel.inspections[0].id)
        left.remove(chosen)
        job.do(chosen)
        evidence.update((name, machine.answers[name]) for name in chosen.gives)


def stop(points: list[Point], at: float) -> Point:
    """The first moment at which the leader has this probability, or the last."""
    return next((point for point in points if point.probabilities[0] >= at), points[-1])


def study(seed: int, count: int, spread: float) -> dict[str, tuple[float, ...]]:
    """One machine, worked both ways and asked everything: per row minutes, right, both, leader's p, log score."""
    machine = draw(seed, count, spread)
    order, advice = list(work(machine, "order")), list(work(machine, "advice"))
    rows = {
        f"order to {DECIDED}": stop(order, DECIDED),
        f"order to {SURE}": stop(order, SURE),
        "order, all": order[-1],
        f"advice to {DECIDED}": stop(advice, DECIDED),
        "advice, enough": advice[-1],
    }
    return {name: measured(machine, point) for name, point in rows.items()} | {
        "confused": confused(machine, order[-1])
    }


def measured(machine: Machine, point: Point) -> tuple[float, ...]:
    """Minutes, top right, all true faults at the top, the leader's probability, log score in bits."""
    true = machine.faults
    score = sum(
        -np.log2(np.clip(p if name in true else 1 - p, 1e-12, 1))
        for name, p in zip(point.order, point.probabilities, strict=True)
    )
    top = set(point.order[: len(true)]) == set(true)
    return (
        point.minutes,
        float(point.order[0] in true),
        float(top),
        float(point.probabilities[0]),
        float(score),
    )


def confused(machine: Machine, point: Point) -> tuple[str, ...]:
    """With everything asked: (true, ranked first) where the leader is wrong."""
    return () if point.order[0] in machine.faults else ("+".join(sorted(machine.faults)), point.order[0])


def show(results: list[dict[str, tuple[float, ...]]], title: str) -> None:
    """Print one table."""
    print(f"\n{title}, {len(results)} machines")
    print(
        f"{'':18}{'min':>6}{'median':>8}{'first':>7}{'all':>7}{'bits':>7}{'>=.9':>7}{'right':>7}{'>=.93':>7}{'right':>7}{'>=.97':>7}{'right':>7}"
    )
    for name in (name for name in results[0] if name != "confused"):
        minutes, right, both, p, bits = (
            np.array(column) for column in zip(*(r[name] for r in results), strict=True)
        )
        cells = [minutes.mean(), np.median(minutes), right.mean(), both.mean(), bits.mean()]
        for at in (DECIDED, FIRM, SURE):
            cells += [(p >= at).mean(), right[p >= at].mean() if (p >= at).any() else float("nan")]
        widths = ("6.1f", "8.1f", "7.3f", "7.3f", "7.2f", *["7.3f"] * 6)
        print(f"{name:18}" + "".join(format(cell, width) for cell, width in zip(cells, widths, strict=True)))
    print("calibration of the leader, advice, enough (said: right, of):", calibration(results))
    print("confused with all asked:", Counter(r["confused"] for r in results if r["confused"]).most_common(6))


def calibration(results: list[dict[str, tuple[float, ...]]]) -> str:
    """The leader's mean probability against how often it is right, in bins."""
    p = np.array([r["advice, enough"][3] for r in results])
    right = np.array([r["advice, enough"][1] for r in results])
    bins = [(0, 0.5), (0.5, 0.7), (0.7, 0.8), (0.8, 0.9), (0.9, 0.95), (0.95, 0.98), (0.98, 1.01)]
    hits = [(p >= low) & (p < high) for low, high in bins]
    return "  ".join(
        f"{p[hit].mean():.2f}: {right[hit].mean():.2f}, {hit.sum()}" for hit in hits if hit.any()
    )


def sharpened(network: Network, finding: int) -> Network:
    """The network with one finding made all but decisive for the fault it tells most of."""
    weights, leaks = network.weights.copy(), network.leaks.copy()
    weights[int(np.argmax(weights[:, finding])), finding], leaks[finding] = 0.98, 0.005
    return Network(network.faults, network.findings, network.priors, weights, leaks, network.alone)


def ceiling(kind: str, finding: int | None, count: int) -> float:
    """How often the leader is right with one fault and everything asked, as the mean of what it says of itself."""
    network = washer_network(kind)
    network = network if finding is None else sharpened(network, finding)
    rng = np.random.default_rng(7)
    leads = []
    for _ in range(count):
        fault = rng.choice(network.priors.size, p=network.priors / network.priors.sum())
        shows = 1 - (1 - network.leaks) * (1 - network.weights[fault])
        seen = rng.random(shows.size) < shows
        evidence = {name: float(there) for name, there in zip(network.findings, seen, strict=True)}
        leads.append(weigh(network, evidence).probabilities.max())
    return float(np.mean(leads))


def show_ceiling(pool: ProcessPoolExecutor, kind: str, count: int) -> None:
    """Print which findings, if they were all but decisive, would raise the ceiling most."""
    findings = washer_network(kind).findings
    base = ceiling(kind, None, count)
    raised = pool.map(partial(ceiling, kind, count=count), range(len(findings)))
    gains = sorted(zip((each - base for each in raised), findings, strict=True), reverse=True)[:6]
    print(
        f"{kind}: ceiling {base:.3f}; made decisive:",
        ", ".join(f"{name} {gain:+.3f}" for gain, name in gains),
    )


def main() -> None:
    """Run the study and print its tables."""
    parser = argparse.ArgumentParser(description="The flow's order and the advice over simulated machines.")
    parser.add_argument("--machines", type=int, default=1000, help="machines a table (default 1000)")
    parser.add_argument(
        "--spread", type=float, default=0.5, help="perturbation of the log-odds (default 0.5)"
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument(
        "--ceiling", type=int, default=0, help="only: what would raise the ceiling, machines each"
    )
    asked = parser.parse_args()
    if asked.ceiling:
        with ProcessPoolExecutor(asked.jobs) as pool:
            for kind in KINDS:
                show_ceiling(pool, kind, asked.ceiling)
        return
    seeds = range(asked.seed * 1_000_000, asked.seed * 1_000_000 + asked.machines)
    with ProcessPoolExecutor(asked.jobs) as pool:
        for spread in (0.0, asked.spread):
            for count in (1, 2):
                results = list(pool.map(partial(study, count=count, spread=spread), seeds, chunksize=10))
                numbers = f"numbers perturbed by {spread}" if spread else "the table's own numbers"
                show(results, f"{count} fault(s), {numbers}")


if __name__ == "__main__":
    main()
