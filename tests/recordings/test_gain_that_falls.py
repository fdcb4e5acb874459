"""A gain that a phone turns down while the machine grows louder is seen, and what it may make is not told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import soundfile
from scipy import signal as filters

from tests.helpers.spin_recordings import sound
from tests.helpers.spin_reports import SHORT
from wizard.domain.recording_vocabulary import FigureKind
from wizard.recordings.spin_report import spin_report

RATE = 16000
LOUD = replace(SHORT, rest=6.0, hold=14.0, extra={"roar": 0.08, "floor": 1e-5})


def in_a_room(heard: np.ndarray, seed: int) -> np.ndarray:
    """A sound with a room's noise below it, heaviest under 200 Hz (a Butterworth low-pass of white noise)."""
    rng = np.random.default_rng([seed, 13])
    low = filters.sosfilt(filters.butter(1, 200, fs=RATE, output="sos"), rng.standard_normal(len(heard)))
    return heard + 3e-3 * low / low.std() + 3e-5 * rng.standard_normal(len(heard))


def gained(heard: np.ndarray, share: float) -> np.ndarray:
    """The sound by a gain that takes ``share`` of each decibel off: down at once, up again within two seconds."""
    block = RATE // 50
    whole = len(heard) // block
    size = np.sqrt(np.mean(heard[: whole * block].reshape(whole, block) ** 2, axis=1))
    level, gains = size[0], []
    for now in size:
        level = 0.5 * level + 0.5 * now if now > level else 0.99 * level + 0.01 * now
        gains.append((0.05 / max(level, 1e-5)) ** share)
    made = heard * np.interp(np.arange(len(heard)), np.arange(whole) * block, gains)
    return 0.5 * made / np.abs(made).max()


def told(tmp_path, heard: np.ndarray):
    """What is said of it."""
    path = tmp_path / "spin.wav"
    soundfile.write(path, np.clip(heard, -1, 1), RATE, subtype="PCM_24")
    return spin_report(path)


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("knocks", [0.0, 0.25])
def test_a_gain_that_falls_with_the_noise_is_seen_and_no_knock_is_told(tmp_path, seed, knocks):
    """Seven tenths of each decibel are taken off, as a phone's recorder does; the room gets quieter in the spin."""
    made = replace(LOUD, extra={**LOUD.extra, "knocks": knocks} if knocks else LOUD.extra)
    report = told(tmp_path, gained(in_a_room(sound(made, seed, RATE), seed), 0.7))
    assert report.signal.levelled and any("automatic gain" in line for line in report.doubts)
    for kind in (FigureKind.KNOCK, FigureKind.ROAR):
        (figure,) = [f for f in report.figures if f.kind is kind]
        assert figure.value is None and figure.present is None and "gain" in figure.says


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("noise", ["room", "fridge stops", "quiet"])
def test_a_gain_that_stays_is_not_taken_for_one_that_falls(tmp_path, seed, noise):
    """Nor where a fridge hums in the first rest and has stopped before the spin."""
    heard = sound(LOUD, seed, RATE)
    if noise != "quiet":
        heard = in_a_room(heard, seed)
    if noise == "fridge stops":
        first = int(8 * RATE)
        heard[:first] = in_a_room(in_a_room(heard[:first], seed + 10), seed + 20)
    report = told(tmp_path, heard)
    assert not report.signal.levelled
    (roar,) = [f for f in report.figures if f.kind is FigureKind.ROAR]
    assert roar.value is not None and "gain that changes by itself may hide some of it" in roar.says
