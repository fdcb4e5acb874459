"""What a flow gains by learning from practice sessions.

``python -m tests.bench.study_learning --jobs 400 --machines 100``, from the project's folder, plays jobs at practice
machines of one seed, one machine in five with two faults. What their sessions say is learned (`wizard.learning`), and
every number that they contradict is taken. Machines of another seed are then worked on with the flow as it was and with
what was learned: what is scored is the hidden truth, which learning never sees. Nothing is on disk: the records of a
played job are its session. ``--apart`` learns once more as if no reading had been kept: so no
curve. ``--truth`` learns once more with the hidden faults as labels: what the same sessions would give if every proof
told all.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from datetime import timedelta
from functools import lru_cache, partial
from statistics import fmean

import numpy as np

from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flowcheck.model.manual_clock import START
from wizard.learning.estimate import NumberId, NumberKind
from wizard.learning.learner import changes, learn
from wizard.learning.numbered_flow import with_numbers
from wizard.learning.observation import Observation, observe
from wizard.learning.proved_faults import ProvedFaults
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.practice_job import PlayedJob, draw_scene, play
from wizard.practice.practice_loader import load_practice, practice_folder
from wizard.practice.study import row, seeds
from wizard.practice.study_scores import Row, calibration, scores

FLOW = "washer-shake"
TWO = (3, 7)
"""The last digits of the machines that have two faults."""
LEAST, SURE = 1e-6, 0.93
Numbers = Mapping[NumberId, float]
Told = tuple[Observation, tuple[str, ...]]
"""What a session says, and the faults that were hidden in its machine."""


@lru_cache(maxsize=4)
def prepared(numbers: tuple[tuple[NumberId, float], ...]) -> tuple[Flow, Practice]:
    """The flow with these numbers instead of its own, and its practice machines."""
    flow = load(folder_of(FLOW), lambda _digest: True)
    return with_numbers(flow, dict(numbers)), load_practice(practice_folder(FLOW), flow)


def job(numbers: tuple[tuple[NumberId, float], ...], seed: int) -> PlayedJob:
    """One job; the machine is the same whatever the flow's numbers."""
    flow, practice = prepared(numbers)
    own, _ = prepared(())
    return play(practice, flow, draw_scene(practice, own, 2 if seed % 10 in TWO else 1, seed), f"p{seed}")


def told(seed: int) -> Told | None:
    """What the session of one job says; jobs a day apart. None where it doesn't end."""
    played = job((), seed)
    return said(seed, played.view, tuple(played.scene.faults), played.records)


def said(seed: int, view: JobView, hidden: tuple[str, ...], records: Sequence) -> Told | None:
    """The same of a job that was played."""
    found = observe(view, records)
    if not isinstance(found, Observation):
        return None
    at = START + timedelta(days=seed % 1_000_000)
    return replace(found, session=f"p{seed}", at=at.isoformat()), hidden


def scored(numbers: tuple[tuple[NumberId, float], ...], seed: int) -> Row:
    """The scores of one job."""
    flow, practice = prepared(numbers)
    return row(flow, practice, job(numbers, seed), seed)


def spread(function, some: range, processes: int) -> Iterator:
    """A function of each seed, in order, with progress."""
    with ProcessPoolExecutor(processes) as pool:
        for done, one in enumerate(pool.map(function, some, chunksize=2), 1):
            if done % 20 == 0 or done == len(some):
                print(f"{done} of {len(some)}", file=sys.stderr)
            yield one


def bits(one: Row) -> float:
    """The log loss of all faults of a job, in bits, what is there besides left out."""
    each = (p if f in one.causes else 1.0 - p for f, p in one.order)
    return -sum(math.log2(max(p, LEAST)) for p in each)


def line(name: str, rows: Sequence[Row]) -> str:
    """The scores of one flow in a line."""
    s, c = scores(rows), calibration(rows)
    two = [r.both_on_top for r in rows if len(r.causes) > 1]
    return (
        f"{name:14} jobs {len(rows)}, decided {s['decided']:.2f}, first right {s['first_right']:.2f}, "
        f"right when decided {s['right_when_decided']:.2f}, "
        f"both on top {fmean(two) if two else math.nan:.2f} of {len(two)}, leaves a fault "
        f"{s['leaves_a_fault']:.2f}, minutes {s['minutes_to_decision']:.0f}, bits {fmean(map(bits, rows)):.3f}, "
        f"Brier {c['brier_of_every_fault']:.4f}"
    )


def compared(before: Sequence[Row], after: Sequence[Row]) -> str:
    """The paired difference in bits, with its standard error."""
    apart = np.array([bits(b) - bits(a) for a, b in zip(before, after, strict=True)])
    error = apart.std(ddof=1) / len(apart) ** 0.5
    return f"bits, after minus before: {apart.mean():+.3f} with a standard error of {error:.3f}"


def report(sessions: Sequence[Told]) -> Numbers:
    """Learn, print what was learned, and return every number that changes but minutes: the clock of a practice job is
    the flow's own, step by step.
    """
    flow, _ = prepared(())
    learned = learn(flow, [one for one, _ in sessions])
    every = changes(learned.estimates)
    numbers = {number: value for number, value in every.items() if number.kind is not NumberKind.MINUTES}
    kinds: dict[str, int] = {}
    for number in numbers:
        kinds[number.kind] = kinds.get(number.kind, 0) + 1
    certain = [(f, hidden) for one, hidden in sessions if one.faults for f in one.faults.certain]
    missed = sum(len(set(h) - {*o.faults.certain, *o.faults.doubtful}) for o, h in sessions if o.faults)
    print(
        f"{learned.proved} proved, {learned.unproved} not; labels right {sum(f in h for f, h in certain)} of "
        f"{len(certain)}, faults of proved machines without a label {missed}; changed {kinds}; "
        f"settled {learned.settled}"
    )
    if learned.held_out is not None:
        print(f"by their own labels, later part: {learned.held_out.log_loss}, {learned.held_out.brier}")
    return numbers


def without_readings(sessions: Sequence[Told]) -> list[Told]:
    """The same sessions with no reading kept: what they say of weights, leaks and shares alone."""
    return [(replace(one, readings=()), hidden) for one, hidden in sessions]


def true_labels(sessions: Sequence[Told], proved: bool) -> list[Told]:
    """The same sessions with the hidden faults as labels; only the proved ones, or all."""
    some = [(o, h) for o, h in sessions if o.faults is not None or not proved]
    return [(replace(o, faults=ProvedFaults(h)), h) for o, h in some]


def main() -> None:
    """Play, learn, play again, and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--jobs", type=int, default=400)
    parser.add_argument("--machines", type=int, default=100)
    parser.add_argument("--seed", type=int, default=21)
    parser.add_argument("--score-seed", type=int, default=22)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--apart", action="store_true")
    parser.add_argument("--truth", action="store_true")
    asked = parser.parse_args()
    some = [one for one in spread(told, seeds(asked.seed, asked.jobs), asked.processes) if one is not None]
    where = seeds(asked.score_seed, asked.machines)
    before = list(spread(partial(scored, ()), where, asked.processes))
    print(line("before", before))
    ways = {"learned": some}
    if asked.apart:
        ways["without curves"] = without_readings(some)
    if asked.truth:
        ways |= {"true, proved": true_labels(some, True), "true, all": true_labels(some, False)}
    for name, sessions in ways.items():
        after = list(spread(partial(scored, tuple(report(sessions).items())), where, asked.processes))
        print(line(name, after))
        print(compared(before, after))


if __name__ == "__main__":
    main()
