"""A sound's levels against full scale, and a head that lies about its length."""

from __future__ import annotations

import numpy as np
import pytest
import soundfile

from wizard.recordings.reading import gain_change
from wizard.recordings.reading.signal_reader import read_signal

RATE = 8000
TIME = np.arange(0, 12, 1 / RATE)


@pytest.mark.parametrize(
    ("made", "level"),
    [
        (np.sin(2 * np.pi * 440 * TIME), -3.01),
        (0.1 * np.sin(2 * np.pi * 440 * TIME), -23.01),
        (np.sign(np.sin(2 * np.pi * 440 * TIME + 0.1)), 0.0),
        (0.1 * np.random.default_rng(4).standard_normal(len(TIME)), -20.0),
    ],
    ids=["sine", "a tenth", "square", "noise"],
)
def test_levels_against_full_scale_are_those_of_their_mean_square(tmp_path, made, level):
    """Closed form: a sine of amplitude 1 has a mean square of 1/2, a square wave 1, noise its variance (Parseval)."""
    soundfile.write(tmp_path / "a.wav", made, RATE, subtype="FLOAT")
    frames = read_signal(tmp_path / "a.wav").frames
    assert float(np.median(gain_change.levels(frames, 20.0, RATE / 2))) == pytest.approx(level, abs=0.3)


def test_a_head_that_lies_is_still_not_believed(tmp_path):
    """It says ten times what is there: what is there is read."""
    soundfile.write(tmp_path / "a.wav", 0.1 * np.sin(440 * TIME), RATE, subtype="PCM_16")
    data = bytearray((tmp_path / "a.wav").read_bytes())
    at = data.index(b"data") + 4
    data[at : at + 4] = (10 * 2 * len(TIME) * 100).to_bytes(4, "little")
    (tmp_path / "a.wav").write_bytes(data)
    got = read_signal(tmp_path / "a.wav")
    assert got.seconds == pytest.approx(12, abs=0.1) and any(
        "ends before its head says" in d for d in got.doubts
    )
