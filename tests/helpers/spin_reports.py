"""What the program says of a few made spins, each analysed once a test run."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import soundfile

from tests.helpers.spin_recordings import Spin, motion_csv, sound
from wizard.recordings.spin_report import SpinReport, spin_report

SHORT = Spin(top=900.0, rate=22.0, tumble=5.0, hold=12.0, slow=40.0, zeta=0.09, foot=17.0, foot_zeta=0.07)
"""A healthy spin of some 80 s."""

SPINS = {
    "healthy": SHORT,
    "uneven": replace(SHORT, jitter=0.08),
    "knock": replace(SHORT, knock=5.0, sampled=400.0),
    "second": replace(SHORT, second=0.8),
    "bangs": replace(SHORT, bangs=(21.0, 60.0), bang=8.0),
}
SOUNDS = {
    "healthy": SHORT,
    "bearing": replace(SHORT, extra={"orders": (3.5848,)}),
    "squeal": replace(SHORT, extra={"tone": 2210.0}),
    "bangs": replace(SHORT, bangs=(21.0, 60.0)),
}


@lru_cache(maxsize=16)
def moved(name: str, seed: int = 1) -> SpinReport:
    """Return the report of a motion."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}.csv"
        path.write_text(motion_csv(SPINS[name], seed), "utf-8")
        return spin_report(path, 900.0 if name == "uneven" else None)


@lru_cache(maxsize=16)
def heard(name: str, seed: int = 1) -> SpinReport:
    """Return the report of a sound, with the tones of a 6205."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}.wav"
        soundfile.write(path, sound(SOUNDS[name], seed), 8000 * 2)
        return spin_report(path, bearing="6205")
