"""A phone in a hand is seen by its tremor and its wandering tilt, and one that lies on a machine isn't taken for it."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from scipy import signal as filters

from tests.recordings.staged_spins import climbing, signal_of
from wizard.domain.recording_vocabulary import SpinPhase
from wizard.recordings.spin_report import analysed

MACHINE = {"rest": 6.0, "tumble": 6.0, "zeta": 0.1, "foot": 17.0, "foot_zeta": 0.07}
HELD = "held in a hand"


def hand(size, wander, seed):
    """A function of stamps: what a hand adds, a band of 5 to 11 Hz of ``size`` m/s2 rms over all axes, and a slow tilt.

    Tremor by a Butterworth band (scipy.signal); the tilt of ``wander`` degrees rms turns gravity below 1 Hz.
    """

    def added(time):
        rng = np.random.default_rng([seed, 11])
        rate = 1 / float(np.median(np.diff(time)))
        parts = []
        for low, high, rms in (
            (5.0, 11.0, size / math.sqrt(3)),
            (0.1, 0.9, 9.81 * math.radians(wander) / math.sqrt(2)),
        ):
            sos = filters.butter(2, [low, high], "bandpass", fs=rate, output="sos")
            noise = filters.sosfilt(sos, rng.standard_normal((len(time), 3)), axis=0)
            parts.append(rms * noise / noise.std(axis=0))
        return parts[0] + parts[1]

    return added


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("size", [0.2, 0.5, 1.0])
def test_a_phone_in_a_hand_is_seen_and_its_rest_is_no_tumble(size, seed):
    """Tremor of .2 to 1 m/s2 rms and a tilt that wanders by two degrees, screen up."""
    spin = climbing((18, 900, 10), sampled=100.0, **MACHINE)
    report = analysed(signal_of(spin, seed, added=hand(size, 2.0, seed)))
    assert any(HELD in line for line in report.place), report.place
    assert report.stretches[0].phase is SpinPhase.REST


def test_a_phone_in_a_hand_beside_no_machine_tells_no_tumble():
    """Nothing but the hand, for forty seconds."""
    time = np.arange(0.0, 40.0, 0.01)
    values = hand(0.4, 2.0, 3)(time)
    made = dataclasses.replace(
        signal_of(climbing((50, 300, 1), sampled=100.0, **MACHINE)),
        time=time, values=values - values.mean(axis=0), rate=100.0, level=(0.1, 0.2, 9.8),
    )  # fmt: skip
    report = analysed(made)
    assert any(HELD in line for line in report.place)
    assert all(stretch.phase is not SpinPhase.TUMBLE for stretch in report.stretches)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("kind", ["good", "noisy sensor", "pump", "no rest"])
def test_a_phone_that_lies_on_a_machine_was_not_held(kind, seed):
    """A still machine; one read by a sensor of .3 m/s2 noise; a pump of 9 Hz; a tumble without rest."""
    spin = climbing((18, 900, 10), sampled=100.0, **{**MACHINE, "rest": 0.0 if kind == "no rest" else 6.0})

    def added(time):
        rng = np.random.default_rng([seed, 12])
        if kind == "noisy sensor":
            return 0.3 / math.sqrt(3) * rng.standard_normal((len(time), 3))
        pump = 0.4 * np.sin(math.tau * 9.0 * time) if kind == "pump" else 0.0 * time
        return pump[:, None] * np.array([0.3, 0.3, 0.9])

    assert not any(HELD in line for line in analysed(signal_of(spin, seed, added=added)).place)
