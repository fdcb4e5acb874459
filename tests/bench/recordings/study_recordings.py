"""Coverage study of recordings: how often what a made spin says holds the truth within twice its uncertainty, and how
often a healthy one is said to knock, to bang, to squeal or to beat as a bearing.

Run from the project's folder: python -m tests.bench.recordings.study_recordings --spins 40 [--sounds 40]. It fails
below 90 % of coverage, and above 2 % of false alarms. The spins are those of tests/helpers/spin_recordings.py, drawn
over the range in ``drawn``.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

import numpy as np
import soundfile

from tests.helpers.spin_recordings import Spin, motion_csv, sound
from tests.helpers.spin_truth import peaks, twice
from wizard.domain.recording_vocabulary import FigureKind as Kind
from wizard.recordings.spin_report import SpinReport, spin_report

PROMISED, FALSE = 0.90, 0.02


def drawn(seed: int, ill: bool = False) -> Spin:
    """Return a spin drawn at random; an ill one knocks (odd seeds), or has a second order (even ones)."""
    rng = np.random.default_rng([seed, 9])
    return Spin(
        top=float(rng.uniform(750, 1400)), rate=float(rng.uniform(12, 28)), rest=4.0, tumble=6.0,
        hold=float(rng.uniform(12, 25)), slow=float(rng.uniform(20, 45)), tub=float(rng.uniform(2.5, 3.3)),
        zeta=float(rng.uniform(0.06, 0.18)), foot=float(rng.uniform(12, 20)), foot_zeta=float(rng.uniform(0.06, 0.12)),
        unbalance=float(rng.uniform(0.05, 0.12)), noise=float(rng.uniform(0.01, 0.04)),
        jitter=float(rng.choice([0.01, 0.05])), sampled=400.0,
        second=float(rng.uniform(0.4, 1.0)) if ill and seed % 2 == 0 else 0.0,
        knock=float(rng.uniform(4, 8)) if ill and seed % 2 else 0.0,
    )  # fmt: skip


def report(spin: Spin, seed: int, folder: Path, heard: bool) -> SpinReport:
    """Return what a made spin says."""
    if heard:
        path = folder / "spin.wav"
        soundfile.write(path, sound(spin, seed), 16000)
        return spin_report(path, bearing="6205")
    path = folder / "spin.csv"
    path.write_text(motion_csv(spin, seed), "utf-8")
    return spin_report(path)


def held(found: SpinReport, spin: Spin) -> dict[str, bool]:
    """Return of each thing that was told whether the truth lies within twice its uncertainty."""
    told: dict[str, bool] = {}
    shift = 0.05 if found.signal.frames is None else 0.0
    course = found.course
    inside = ~np.isnan(course.speed) & (np.abs(spin.speed(course.at + shift)) > 2.5)
    off = np.abs(course.speed - spin.speed(course.at + shift))[inside]
    told["course, 19 of 20"] = bool(np.mean(off <= 2 * course.speed_u[inside]) >= 0.95)
    told["course, never wild"] = bool(off.max(initial=0.0) < 1.0)
    for figure in found.figures:
        if figure.value is None:
            continue
        wide = 2 * figure.uncertainty
        if figure.kind is Kind.TOP_SPEED:
            told["top speed"] = abs(figure.value - spin.top) <= wide
        elif figure.kind is Kind.TWICE_A_TURN and figure.present:
            told["twice a turn"] = abs(figure.value - twice(spin)) <= wide
        elif figure.kind is Kind.RUN_UP_PEAK:
            fine = any(figure.value - figure.bias - wide <= at <= figure.value + wide for at in peaks(spin))
            told["run-up peak"] = told.get("run-up peak", False) or fine
        elif figure.kind in (Kind.RUN_UP_DAMPING, Kind.COAST_DAMPING):
            told[str(figure.kind)] = abs(figure.value - spin.zeta) <= wide
        elif figure.kind is Kind.FIXED_MODE:
            near = min(abs(figure.value - f) for f in (spin.foot, 0.85 * spin.foot))
            told["mode"] = told.get("mode", False) or near <= wide
    return told


def alarms(found: SpinReport) -> dict[str, bool]:
    """Return what a healthy spin was said to have."""
    kinds = {f.kind for f in found.figures if f.present}
    return {str(kind): kind in kinds for kind in (Kind.KNOCK, Kind.BANG, Kind.SQUEAL, Kind.BEARING_TONE)} | {
        str(Kind.TWICE_A_TURN): Kind.TWICE_A_TURN in kinds
    }


def main() -> int:
    """Print the shares; return 1 if one is not what is promised."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--spins", type=int, default=20, help="made motions, healthy and ill")
    parser.add_argument("--sounds", type=int, default=20, help="made sounds, healthy")
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    given = parser.parse_args()
    told, false = defaultdict(list), defaultdict(list)
    with tempfile.TemporaryDirectory() as folder:
        for heard, count in ((False, given.spins), (True, given.sounds)):
            for seed in range(given.first, given.first + count):
                spin = drawn(seed)
                found = report(spin, seed, Path(folder), heard)
                for name, fine in held(found, spin).items():
                    told[f"{'sound' if heard else 'motion'}: {name}"].append(fine)
                for name, there in alarms(found).items():
                    false[f"{'sound' if heard else 'motion'}: {name}"].append(there)
                if not heard:
                    ill = drawn(seed, ill=True)
                    sick = report(ill, seed, Path(folder), heard)
                    if ill.knock:
                        told["ill: knock found"].append(alarms(sick)[str(Kind.KNOCK)])
                    else:
                        told["ill: twice a turn"].append(held(sick, ill).get("twice a turn", False))
    for name, fine in sorted(told.items()):
        print(f"{name:40} {np.mean(fine):6.1%} of {len(fine)}")
    for name, there in sorted(false.items()):
        print(f"false: {name:33} {np.mean(there):6.1%} of {len(there)}")
    worst, wrong = min(np.mean(f) for f in told.values()), max(np.mean(t) for t in false.values())
    return int(worst < PROMISED or wrong > FALSE)


if __name__ == "__main__":
    sys.exit(main())
