"""A study over practice machines: whole jobs through the engine, led by the advice, at machines made of physics.

Run from the project's folder: ``python -m tests.bench.study_simulated --machines 100 --faults 1``. Each machine has
hidden faults at a severity, its customer errs, tools are missing, readings are noisy (``wizard/practice``); nothing of
it is drawn from the flow's own weights, so the study asks what those are worth at machines that don't know them.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial

from tests.bench.simulated_scores import Row, calibration, groups, scores, table
from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.messages.repair_parts import parts_of
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.practice.declaring.practice_loader import load_practice, practice_folder
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.practice_job import PlayedJob, draw_scene, play

FLOW = "washer-shake"
MOST_PROCESSES = 2
SURE = 0.93
"""From here the advice calls a fault decided."""
SHOWN = ("jobs", "first_right", "all_on_top", "decided", "right_when_decided", "minutes_to_decision",
         "minutes_to_close", "wrong_repairs", "wrong_parts", "leaves_a_fault", "still_shakes")  # fmt: skip
HEADS = ("jobs", "first", "all top", "decided", "right/dec", "min dec", "min close", "wrong rep", "wrong part",
         "leaves", "shakes on")  # fmt: skip


@cache
def shipped() -> tuple[Flow, Practice]:
    """The shake flow and its practice machine."""
    flow = load(folder_of(FLOW))
    return flow, load_practice(practice_folder(FLOW), flow)


def study(seed: int, count: int) -> Row:
    """One job at one machine."""
    flow, practice = shipped()
    return row(
        flow, practice, play(practice, flow, draw_scene(practice, flow, count, seed), f"p{seed}"), seed
    )


def row(flow: Flow, practice: Practice, job: PlayedJob, seed: int) -> Row:
    """What is scored of a job."""
    hidden = job.scene.faults
    counsel = advice(job.before) if job.before is not None else None
    beside = tuple(f for f in hidden if practice.faults[f].beside)
    return Row(
        seed=seed,
        kind=job.scene.machine.kind,
        causes={f: str(s) for f, s in hidden.items() if f not in beside},
        beside=beside,
        ranked=tuple((r.fault, r.probability) for r in job.ranked),
        decided=counsel.decided if counsel is not None else (),
        confirmed=job.confirmed,
        fitted=job.fitted,
        parts=tuple(r.fault for r in job.view.state.repairs if parts_of(flow.faults[r.fault].remedy, r.alternative)),
        minutes=job.minutes,
        outcome=job.outcome,
        stuck=job.stuck,
        still_shakes=job.still_shakes,
    )  # fmt: skip


def played(seeds: range, count: int, processes: int) -> Iterator[Row]:
    """Every job in the order of the seeds, with progress on standard error."""
    with ProcessPoolExecutor(processes) as pool:
        for n, one in enumerate(pool.map(partial(study, count=count), seeds, chunksize=2), 1):
            if n % 10 == 0 or n == len(seeds):
                print(f"{n} of {len(seeds)}", file=sys.stderr, flush=True)
            yield one


def show(title: str, some: dict[str, float]) -> None:
    """Print one line of scores."""
    cells = []
    for name in SHOWN:
        value = some[name]
        whole = name == "jobs" or name.startswith("minutes")
        cells.append(f"{value:10.0f}" if whole else f"{value:10.2f}")
    print(f"{title:18}" + "".join(cells))


def report(rows: list[Row]) -> None:
    """Print the tables."""
    print(f"{'':18}" + "".join(f"{head:>10}" for head in HEADS))
    show("all", scores(rows))
    for by, of in groups(rows).items():
        print(f"by {by}")
        for name, some in sorted(of.items()):
            show(f"  {name}", scores(some))
    said = calibration(rows)
    print(f"likeliest fault: Brier {said['brier']:.3f}, log loss {said['log_loss']:.3f}; "
          f"every fault: Brier {said['brier_of_every_fault']:.4f}")  # fmt: skip
    for tenth in said["tenths"]:
        print(f"  said {tenth['said']:.2f}, right {tenth['right']:.2f}, of {tenth['jobs']}")
    for one in rows:
        if one.order and one.order[0][1] >= SURE and not one.first_right:
            causes = ", ".join(f"{f} {s}" for f, s in one.causes.items())
            print(f"sure and wrong: seed {one.seed}, {one.kind}, {causes}; said {one.order[0][0]}")
    outcomes = [r.outcome for r in rows]
    print("ended:", ", ".join(f"{o} {outcomes.count(o)}" for o in sorted(set(outcomes))))
    for one in rows:
        if one.stuck:
            print(f"stuck: seed {one.seed}, {one.stuck}")


def main() -> None:
    """Play the jobs and print, or write as JSON, what they say."""
    parser = argparse.ArgumentParser(description="Whole jobs at practice machines, led by the advice.")
    parser.add_argument("--machines", type=int, default=100, help="how many (default 100)")
    parser.add_argument("--faults", type=int, choices=(1, 2), default=1, help="hidden in each (default 1)")
    parser.add_argument("--seed", type=int, default=1, help="of the first machine, in millions (default 1)")
    parser.add_argument("--jobs", type=int, default=2, help="processes, two at most (default 2)")
    parser.add_argument("--json", action="store_true", help="all of it as JSON, each job too")
    asked = parser.parse_args()
    seeds = range(asked.seed * 1_000_000, asked.seed * 1_000_000 + asked.machines)
    rows = list(played(seeds, asked.faults, min(max(asked.jobs, 1), MOST_PROCESSES)))
    if asked.json:
        print(json.dumps(table(rows), indent=1))
    else:
        report(rows)


if __name__ == "__main__":
    main()
