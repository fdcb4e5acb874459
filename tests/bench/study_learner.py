"""What a learner that knows nothing of the network makes of the same answers: a ceiling that owes the flow nothing.

Run from the project's folder, with scikit-learn installed beside it (it is no dependency):
python -m tests.bench.study_learner [--jobs 1200] [--machines 100] [--faults 1|2] [--study 1] [--teach 31]

Everything is asked in jobs of other seeds; of each, all answers, readings, evidence and facts before the decision are
a row of numbers, and the hidden causes its labels. Forests and boosted trees learn from these and rank the causes of
the machines of the study; the one that is better in five folds of what it learned from is scored. Beside it stands the
flow's own network on the very same jobs.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from typing import Any

import numpy as np

from tests.bench.study_ceiling import EverythingAsked, _loaded
from wizard.engine.state.job_state import State
from wizard.practice.practice_job import draw_scene, play
from wizard.practice.study import seeds

NORMAL = "normal"
"""The label of a machine with nothing wrong."""

UNKNOWN = -1e6
SEEN = 5
"""A column that fewer of the jobs that teach have says nothing of others."""


@dataclass(frozen=True, slots=True)
class Known:
    """One job: what was known before the decision, as numbers by name; what is there; how the network ranks it."""

    features: Mapping[str, float]
    causes: tuple[str, ...]
    ranked: tuple[str, ...]


def known(faults: int, seed: int) -> Known:
    """Play one job to its decision, all asked."""
    flow, practice = _loaded()
    job = play(practice, flow, draw_scene(practice, flow, faults, seed), f"p{seed}", EverythingAsked)
    causes = tuple(f for f in job.scene.faults if not practice.faults[f].beside) or (NORMAL,)
    state = job.before.state if job.before is not None else State()
    return Known(features(state), causes, tuple(r.fault for r in job.ranked))


def features(state: State) -> dict[str, float]:
    """Answers and facts as 1 where they were given; evidence of findings; readings in SI, by step and item."""
    found: dict[str, float] = {
        f"fact {fact}={value}": 1.0 for fact, value in state.facts.items() if fact != "serial"
    }
    for answer in state.answer_records:
        if answer.aside:
            continue
        for option in answer.chosen:
            found[f"answer {answer.ref}={option}"] = 1.0
        for finding, evidence in answer.evidence.items():
            found[f"finding {finding}"] = evidence
    for reading in state.reading_records:
        if not reading.aside:
            found[
                f"reading {reading.inspection}.{reading.step} {reading.item}.{reading.way}.{reading.repeat}"
            ] = reading.value
    return found


def matrix(jobs: Sequence[Known], columns: Sequence[str]) -> Any:
    """The jobs as rows; what was not read or asked is far below all numbers, where a tree tells it apart."""
    plain = {c: UNKNOWN if c.startswith(("reading", "finding")) else 0.0 for c in columns}
    return np.array([[job.features.get(c, plain[c]) for c in columns] for job in jobs])


def labels(jobs: Iterable[Known], classes: Sequence[str]) -> Any:
    """Which causes are there, a column a cause."""
    return np.array([[float(c in job.causes) for c in classes] for job in jobs])


def learners() -> dict[str, Any]:
    """Fresh learners by name, each of one cause against all others."""
    ensemble = import_module("sklearn.ensemble")
    return {
        "forest": lambda: ensemble.ExtraTreesClassifier(400, min_samples_leaf=2, n_jobs=2, random_state=1),
        "boosted": lambda: ensemble.HistGradientBoostingClassifier(max_iter=60, max_depth=4, random_state=1),
    }


def chances(make: Any, name: str, rows: Any, there: Any, asked: Any) -> Any:
    """The chance of each cause in the rows asked, by a learner taught by the others."""
    if name == "forest":
        by_cause = make().fit(rows, there).predict_proba(asked)
        return np.stack([p[:, 1] if p.shape[1] > 1 else 0.0 * p[:, 0] for p in by_cause], axis=1)
    found = np.zeros((len(asked), there.shape[1]))
    for n in range(there.shape[1]):
        if there[:, n].sum() >= 3:
            found[:, n] = make().fit(rows, there[:, n]).predict_proba(asked)[:, 1]
    return found


def right(order: Sequence[Sequence[str]], jobs: Sequence[Known]) -> tuple[float, float]:
    """How often the likeliest is a cause, and how often the likeliest, as many as there are causes, are all of them."""
    first = np.mean([ranked[0] in job.causes for ranked, job in zip(order, jobs, strict=True)])
    top = np.mean(
        [set(ranked[: len(job.causes)]) == set(job.causes) for ranked, job in zip(order, jobs, strict=True)]
    )
    return float(first), float(top)


def ordered(found: Any, classes: Sequence[str]) -> list[list[str]]:
    """The causes of each row, the likeliest first."""
    return [[classes[n] for n in np.argsort(-row)] for row in found]


def main() -> None:
    """Play, learn, score."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--jobs", type=int, default=1200)
    asked.add_argument("--machines", type=int, default=100)
    asked.add_argument("--faults", type=int, choices=(1, 2), default=1)
    asked.add_argument("--study", type=int, default=1)
    asked.add_argument("--teach", type=int, default=31)
    given = asked.parse_args()
    with ProcessPoolExecutor(2) as pool:
        one = partial(known, given.faults)
        taught = list(pool.map(one, seeds(given.teach, given.jobs), chunksize=8))
        scored = list(pool.map(one, seeds(given.study, given.machines), chunksize=8))
    classes = sorted({cause for job in taught for cause in job.causes})
    often = Counter(c for job in taught for c in job.features)
    columns = sorted(c for c, count in often.items() if count >= SEEN)
    rows, there, later = matrix(taught, columns), labels(taught, classes), matrix(scored, columns)
    folds = np.arange(len(taught)) % 5
    print(
        f"{len(taught)} jobs teach, {len(columns)} columns, {len(classes)} causes; {len(scored)} are scored"
    )
    for name, make in learners().items():
        own = np.zeros_like(there)
        for fold in range(5):
            out = folds == fold
            own[out] = chances(make, name, rows[~out], there[~out], rows[out])
        inside = right(ordered(own, classes), taught)
        found = right(ordered(chances(make, name, rows, there, later), classes), scored)
        print(
            f"{name:<8} in folds: first {inside[0]:.3f}, all {inside[1]:.3f}; scored: first {found[0]:.2f}, "
            f"all {found[1]:.2f}",
            flush=True,
        )
    network = right([job.ranked or ("",) for job in scored], scored)
    wide = right([job.ranked or ("",) for job in taught], taught)
    print(
        f"network  on what taught: first {wide[0]:.3f}, all {wide[1]:.3f}; scored: {network[0]:.2f}, {network[1]:.2f}"
    )


if __name__ == "__main__":
    main()
