"""What the evidence allows: the ranking by the advice, and with everything asked, on the same practice machines.

Run from the project's folder: python -m tests.bench.study_ceiling [--machines 100] [--faults 1|2] [--study 1]
Prints a line a way of leading, and one a severity of the causes.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from pathlib import Path

from wizard.engine.queries import next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Flow
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.practice_job import draw_scene, play
from wizard.practice.practice_loader import load_practice
from wizard.practice.study import row, seeds
from wizard.practice.study_scores import Row, groups, scores
from wizard.practice.technician import Technician

FLOW, PRACTICE = Path("flows/washer-shake"), Path("flows/practice/washer-shake")


class EverythingAsked(Technician):
    """One who goes through the whole of the flow's own order before deciding."""

    def coming(self, view: JobView) -> NextUp:
        """The flow's own order."""
        return next_queries.next_up(view)


WAYS = {"by the advice": Technician, "all asked": EverythingAsked}


@lru_cache(maxsize=1)
def _loaded() -> tuple[Flow, Practice]:
    flow = load(FLOW)
    return flow, load_practice(PRACTICE, flow)


def _one(way: str, faults: int, seed: int) -> Row:
    flow, practice = _loaded()
    scene = draw_scene(practice, flow, faults, seed)
    return row(flow, practice, play(practice, flow, scene, f"p{seed}", WAYS[way]), seed)


def line(name: str, rows: Sequence[Row]) -> str:
    """The scores of some jobs on a line."""
    s = scores(rows)
    return (
        f"{name:<16} {len(rows):>4} jobs  first {s['first_right']:.2f}  all on top {s['all_on_top']:.2f}  "
        f"decided {s['decided']:.2f}  right {s['right_when_decided']:.3f}  unrepaired {s['unrepaired_cause']:.2f}  "
        f"left {s['leaves_a_fault']:.2f}  calls again {s['still_shakes']:.2f}  wrong {s['wrong_repairs']:.2f}  "
        f"minutes {s['minutes_to_decision']:.0f}, {s['minutes_to_close']:.0f}"
    )


def main() -> None:
    """Play and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--machines", type=int, default=100)
    asked.add_argument("--faults", type=int, choices=(1, 2), default=1)
    asked.add_argument("--study", type=int, default=1)
    given = asked.parse_args()
    for way in WAYS:
        with ProcessPoolExecutor(2) as pool:
            one = partial(_one, way, given.faults)
            rows = list(pool.map(one, seeds(given.study, given.machines), chunksize=2))
        print(line(way, rows), flush=True)
        for severity, some in groups(rows)["severity"].items():
            print(line(f"  {severity}", some), flush=True)


if __name__ == "__main__":
    main()
