"""How far it shakes in numbers, whether the phone lay where it should, and a bearing that nobody read the number of."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
import soundfile

from tests.helpers.spin_recordings import Spin, motion, sound
from tests.helpers.spin_truth import shaking
from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.recordings.figures.level_figures import rolling
from wizard.recordings.reading.recorded_signal import RecordedSignal
from wizard.recordings.spin_report import analysed, spin_report

GRAVITY = (0.0, 0.0, 9.80665)
ALL = ("6203", "6204", "6205", "6206", "6305", "6306")


def signal_of(spin: Spin, seed: int = 1, **changes) -> RecordedSignal:
    """The signal of a made spin, without a file between."""
    time, axes = motion(spin, seed)
    level = np.median(axes, axis=1)
    made = RecordedSignal(
        name="spin.csv", sha256="", kind=SignalKind.MOTION, rate=spin.sampled, file_rate=spin.sampled,
        time=time - time[0], values=axes.T - level, jitter=0.01, gaps=(), calibrated=True, doubts=(),
        level=tuple(level),
    )  # fmt: skip
    return dataclasses.replace(made, **changes)


def told(signal: RecordedSignal, kind: FigureKind):
    """The one figure of a kind."""
    return next(f for f in analysed(signal).figures if f.kind is kind)


def test_the_worst_ten_seconds_are_those_of_the_spin_by_the_response_that_made_it():
    """A steady order at full speed has the rms of its amplitude over the root of two (closed form)."""
    spin = Spin(noise=0.002, foot=25.0)
    found = told(signal_of(spin), FigureKind.WORST)
    force = spin.unbalance * (2 * np.pi * spin.top / 60) ** 2
    truth = float(np.sqrt(np.sum((shaking(spin, [spin.top / 60])[:, 0] * force) ** 2) / 2))
    assert found.value == pytest.approx(truth, rel=0.03)
    assert found.uncertainty == pytest.approx(0.03 * found.value)


def test_a_rolling_rms_of_a_sine_is_its_amplitude_over_root_two_however_it_was_read():
    """Uneven times weigh by what each stands for: half of a sine of amplitude 2 read twice as densely."""
    time = np.concatenate([np.arange(0, 20, 0.004), np.arange(20, 40, 0.008)])
    values = np.stack([2 * np.sin(2 * np.pi * 5.3 * time), np.zeros_like(time), np.zeros_like(time)], axis=1)
    made = dataclasses.replace(signal_of(Spin(top=300, rate=50)), time=time, values=values, rate=250.0)
    _at, level = rolling(made, 10.0)
    assert level == pytest.approx(np.full(len(level), np.sqrt(2)), rel=0.01)


def test_the_largest_peak_lies_where_a_bang_was_made():
    """A bang of 30 m/s2 in the ramp is the largest peak, and at its time."""
    spin = Spin(bangs=(30.0,), bang=60.0)
    found = told(signal_of(spin), FigureKind.PEAK)
    assert found.at == pytest.approx(30.0, abs=0.2) and found.value > 15


def test_middling_speeds_stand_out_where_the_feet_swing_below_the_spin():
    """Feet at 9 Hz (540 rpm), hardly damped, below a spin of 1100: worst in the middle; at 25 Hz above it: not."""
    soft = told(signal_of(Spin(foot=9.0, foot_zeta=0.03)), FigureKind.MIDDLE)
    stiff = told(signal_of(Spin(foot=25.0, foot_zeta=0.15)), FigureKind.MIDDLE)
    assert soft.value - 2 * soft.uncertainty > 1.2, soft.says
    assert stiff.value + 2 * stiff.uncertainty < 1.0, stiff.says


def test_what_a_sound_or_a_file_without_a_unit_cannot_say_is_refused_with_its_reason(tmp_path):
    """No number stands where nothing was measured."""
    plain = analysed(signal_of(Spin(), calibrated=False))
    refused = [f for f in plain.figures if f.kind in (FigureKind.WORST, FigureKind.PEAK)]
    assert [f.value for f in refused] == [None, None] and "unit" in refused[0].says
    soundfile.write(tmp_path / "a.wav", sound(Spin(), 1), 16000)
    heard = spin_report(tmp_path / "a.wav")
    silent = {f.kind: f for f in heard.figures if f.kind in (FigureKind.WORST, FigureKind.MIDDLE)}
    assert all(f.value is None and "sound" in f.says for f in silent.values()) and heard.place == ()


def test_a_phone_that_lay_flat_and_still_has_nothing_said_against_it():
    """Gravity along its back, quiet at rest, the same at the end."""
    assert analysed(signal_of(Spin())).place == ()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"level": (9.8, 0.3, 0.4)}, "didn't lie flat"),
        ({"level": (0.0, 0.0, -9.8)}, "screen down"),
        ({"level": (0.0, 0.0, 0.1)}, "Gravity isn't in it"),
    ],
)
def test_gravity_says_how_the_phone_lay(change, words):
    """On its edge, on its face, or with gravity taken off by the app: each has its own sentence."""
    assert any(words in line for line in analysed(signal_of(Spin(), **change)).place)


def test_a_phone_that_turned_or_was_held_is_said():
    """Gravity that points elsewhere at the end; a rest that moves as a hand does (0.3 m/s2)."""
    made = signal_of(Spin())
    turned = made.values.copy()
    turned[made.time > made.seconds - 2.5] += (6.0, 0.0, -2.0)
    assert any("turned by" in line for line in analysed(dataclasses.replace(made, values=turned)).place)
    shaken = made.values + 0.3 / np.sqrt(3) * np.random.default_rng(1).standard_normal(made.values.shape)
    place = analysed(dataclasses.replace(made, values=shaken)).place
    assert any("At rest it moves" in line or "no rest" in line for line in place)


def test_a_bearing_is_heard_whatever_its_number_and_a_sound_one_is_not(tmp_path):
    """One figure over all bearings known: outer ring of a 6205 (3.5848, CWRU data), and silence for a sound one."""
    for extra, there in (({"orders": (3.5848,), "depth": 1.2}, True), ({}, False)):
        path = tmp_path / f"{there}.wav"
        soundfile.write(path, sound(Spin(extra=extra), 3), 16000)
        found = [f for f in spin_report(path, bearings=ALL).figures if f.kind is FigureKind.BEARING_TONE]
        assert [f.present for f in found] == [there], found
