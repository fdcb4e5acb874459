"""What a recording adds to whole jobs: the same practice machines with and without a phone that records one empty spin.

Run from the project's folder: python -m tests.bench.recordings.study_recorded_jobs [--machines 60] [--faults 1]
Prints a line a way of leading. A machine's recording is drawn by its hidden faults (wizard/practice/demo/drawn_spin.py)
where the drawn machines have one of them, else as of a healthy one; how bad a fault is isn't in it.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from pathlib import Path

from tests.bench.study_ceiling import EverythingAsked, line
from wizard.domain.recording_vocabulary import SignalKind
from wizard.engine.answer_source import Reply, ReplyHow
from wizard.engine.messages.spin_record import SpinRecord, spin_record
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Flow, RecordStep, Step
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.demo_sound import write_sound
from wizard.practice.demo.drawn_spin import drawn
from wizard.practice.practice_job import draw_scene, play
from wizard.practice.practice_loader import load_practice
from wizard.practice.study import row, seeds
from wizard.practice.study_scores import Row
from wizard.practice.technician import Technician
from wizard.recordings.spin_report import spin_report

FLOW, PRACTICE = Path("flows/washer-shake"), Path("flows/practice/washer-shake")
DRAWN: Mapping[str, str] = {
    "dampers-worn": "worn-dampers", "feet": "loose-foot", "floor": "floor", "spider": "spider", "bearings": "bearing",
}  # fmt: skip
"""Hidden fault -> the drawn machine that has it."""


@lru_cache(maxsize=64)
def recorded(name: str, seed: int, kind: SignalKind, bearings: tuple[str, ...]) -> SpinRecord:
    """What the recording of a drawn machine says; a motion of one that only a microphone hears is a healthy one's."""
    heard = kind is SignalKind.SOUND
    name = name if heard == (name == "bearing") else "healthy"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / ("spin.wav" if heard else "spin.csv")
        (write_sound if heard else write_motion)(drawn(name, seed), seed, path)
        return spin_record(spin_report(path, bearings=bearings))


class PhoneAtHand(Technician):
    """One who records the motion of the empty spin where that is offered; the sound where a roar is complained of."""

    SIGNAL = SignalKind.MOTION

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        """The recording at its step, the phone where it is decided on; the rest as ever."""
        if run.inspection != "record-spin":
            return super().reply(view, run, step)
        if step.id == "phone":
            return Reply(ReplyHow.ANSWER, (str(self.SIGNAL),))
        if isinstance(step, RecordStep):
            machine = self.machine(view)
            name = next((DRAWN[f] for f in machine.faults if f in DRAWN), "healthy")
            seed = 5000 + machine.lot % 1000
            return Reply(ReplyHow.RECORDED, spin=recorded(name, seed, self.SIGNAL, step.bearings))
        return super().reply(view, run, step)


class SoundAtHand(PhoneAtHand):
    """The same with a recorder that lies on the floor."""

    SIGNAL = SignalKind.SOUND


class AllAndMotion(PhoneAtHand, EverythingAsked):
    """Everything asked, and the motion recorded: what the evidence allows."""


WAYS: Mapping[str, type[Technician]] = {
    "by the advice": Technician,
    "and motion": PhoneAtHand,
    "and sound": SoundAtHand,
    "all asked": EverythingAsked,
    "all and motion": AllAndMotion,
}


@lru_cache(maxsize=1)
def _loaded() -> tuple[Flow, Practice]:
    flow = load(FLOW)
    return flow, load_practice(PRACTICE, flow)


def _one(way: str, faults: int, seed: int) -> tuple[Row, bool]:
    flow, practice = _loaded()
    job = play(practice, flow, draw_scene(practice, flow, faults, seed), f"p{seed}", WAYS[way])
    return row(flow, practice, job, seed), bool(job.view.state.spins)


def main() -> None:
    """Play and print."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n\n")[0])
    asked.add_argument("--machines", type=int, default=60)
    asked.add_argument("--faults", type=int, choices=(1, 2), default=1)
    asked.add_argument("--study", type=int, default=1)
    asked.add_argument("--ways", nargs="*", choices=list(WAYS), default=list(WAYS))
    given = asked.parse_args()
    for way in given.ways:
        with ProcessPoolExecutor(2) as pool:
            found = list(pool.map(partial(_one, way, given.faults), seeds(given.study, given.machines)))
        print(line(way, [one for one, _spun in found]), flush=True)
        spun = [one for one, spin in found if spin]
        if spun:
            print(line("  of these recorded", spun), flush=True)


if __name__ == "__main__":
    main()
