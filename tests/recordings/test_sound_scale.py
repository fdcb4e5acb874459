"""A sound's levels against full scale; one that is too long by its own head; one that holds no sound."""

from __future__ import annotations

import numpy as np
import pytest
import soundfile

from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source
from wizard.foreign.sound_file import SoundFile
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


def _unread(_file):
    raise AssertionError("it is read through before it is refused")


def test_a_sound_that_is_too_long_by_its_size_is_refused_before_it_is_read(tmp_path, monkeypatch):
    """A WAV's head and its size agree on how many samples there are: 21 minutes are more than a spin has."""
    monkeypatch.setattr(SoundFile, "blocks", _unread)
    soundfile.write(tmp_path / "long.wav", np.zeros(1260 * 4000, dtype=np.int16), 4000, subtype="PCM_U8")
    with pytest.raises(ValueError, match="it lasts 21 min, 20 at most are read"):
        read_signal(tmp_path / "long.wav")
    monkeypatch.setitem(SOURCE_LIMITS, Source.SOUND, Limits(10_000_000, values=10_000))
    soundfile.write(tmp_path / "more.wav", 0.1 * np.sin(TIME), RATE)
    with pytest.raises(ValueError, match="it has over 10000 samples: too long for a sound"):
        read_signal(tmp_path / "more.wav")


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


def test_a_file_that_holds_no_sound_is_not_said_to_be_missing(tmp_path):
    """Marks of an MP3 and nothing behind them: the library says that there is no such file."""
    (tmp_path / "id3.mp3").write_bytes(b"ID3\x03\0\0\0\0\0\0" + bytes(40_000))
    with pytest.raises(ValueError, match="its sound can't be read") as refused:
        read_signal(tmp_path / "id3.mp3")
    assert "exist" not in str(refused.value)
