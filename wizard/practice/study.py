"""A study over practice machines: whole jobs through the engine, led by the advice, at machines made of physics.

Each machine has hidden faults at a severity, its customer errs, tools are missing, readings are noisy; nothing of it is
drawn from the flow's own weights, so a study asks what those are worth at machines that don't know them.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from pathlib import Path

from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.messages.repair_parts import parts_of
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Flow
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.practice_job import PlayedJob, draw_scene, play
from wizard.practice.practice_loader import load_practice
from wizard.practice.study_scores import Row
from wizard.practice.technician import FEET, feet_were_set

SEEDS = 1_000_000
"""How far the seeds of two studies lie apart: machine n of study s is the same in every study s."""


def seeds(study: int, machines: int) -> range:
    """The seeds of the machines of a study."""
    return range(study * SEEDS, study * SEEDS + machines)


def played(flow: Path, practice: Path, some: range, faults: int, processes: int) -> Iterator[Row]:
    """Play one job a seed, in that order, each as it is done; ``faults`` are hidden in each machine.

    ``flow`` and ``practice`` are folders, since each process loads them anew. FlowError where one isn't sound.
    """
    one = partial(_study, flow, practice, faults)
    if processes == 1:
        yield from map(one, some)
        return
    with ProcessPoolExecutor(processes) as pool:
        yield from pool.map(one, some, chunksize=2)


@lru_cache(maxsize=1)
def _loaded(flow: Path, practice: Path) -> tuple[Flow, Practice]:
    ready = load(flow)
    return ready, load_practice(practice, ready)


def _study(flow: Path, practice: Path, faults: int, seed: int) -> Row:
    ready, machines = _loaded(flow, practice)
    return row(
        ready, machines, play(machines, ready, draw_scene(machines, ready, faults, seed), f"p{seed}"), seed
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
        righted=(FEET,) if FEET in hidden and feet_were_set(job.view) else (),
    )  # fmt: skip
