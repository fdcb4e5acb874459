"""The sound of a video: as the sound alone, but without levels; and what is no video, or has no sound, in words."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

from tests.helpers.spin_recordings import sound
from tests.helpers.spin_reports import SHORT
from wizard.domain.recording_vocabulary import FigureKind as Kind
from wizard.foreign.video_sound import form_of
from wizard.recordings.reading.signal_reader import read_signal
from wizard.recordings.spin_report import spin_report

RATE = 16000
MP4 = b"\x00\x00\x00\x18ftypmp42" + b"\x00" * 400


def video(path: Path, samples: np.ndarray | None, codec: str = "aac") -> Path:
    """Write a small grey video with this sound, by the library that the program reads it with."""
    av = pytest.importorskip("av", reason="the extra video isn't installed")
    with av.open(str(path), "w") as made:
        picture = made.add_stream("mpeg4", rate=2)
        picture.width, picture.height, picture.pix_fmt = 32, 32, "yuv420p"
        heard = made.add_stream(codec, rate=RATE, layout="mono") if samples is not None else None
        grey = np.full((32, 32, 3), 128, np.uint8)
        for _ in range(4):
            made.mux(picture.encode(av.VideoFrame.from_ndarray(grey, format="rgb24")))
        if heard is not None and samples is not None:
            frame = av.AudioFrame.from_ndarray(
                samples.astype(np.float32)[None, :], format="fltp", layout="mono"
            )
            frame.sample_rate = RATE
            made.mux(heard.encode(frame))
            made.mux(heard.encode(None))
        made.mux(picture.encode(None))
    return path


@pytest.mark.parametrize("name", ["spin.mp4", "spin.mov", "spin.mkv"])
def test_the_sound_of_a_video_tells_what_a_sound_does(tmp_path, name):
    """Speed and squeal as they were made, whatever the codec lost; no roar and no levels, and why."""
    from dataclasses import replace

    made = replace(SHORT, extra={"tone": 2210.0})
    report = spin_report(video(tmp_path / name, sound(made, 1, RATE)))
    figures = {figure.kind: figure for figure in report.figures}
    assert abs(figures[Kind.TOP_SPEED].value - 900) <= 2 * figures[Kind.TOP_SPEED].uncertainty
    assert abs(figures[Kind.SQUEAL].value - 2210) <= 2 * figures[Kind.SQUEAL].uncertainty
    assert figures[Kind.ROAR].value is None and report.signal.levelled
    assert any("levelled by the phone itself" in doubt for doubt in report.doubts)
    assert report.signal.seconds == pytest.approx(made.marks[-1], abs=0.3)


def test_a_video_named_as_something_else_is_known_by_its_bytes(tmp_path):
    """A renamed one is read all the same."""
    path = video(tmp_path / "spin.mp4", sound(SHORT, 1, RATE))
    renamed = path.rename(tmp_path / "spin.csv")
    assert read_signal(renamed).frames is not None


def test_a_video_without_sound_is_refused_in_words(tmp_path):
    """What to do stands in the line."""
    with pytest.raises(ValueError, match=r"^silent.mp4: there is no sound in this video. Record it again"):
        read_signal(video(tmp_path / "silent.mp4", None))


@pytest.mark.parametrize("share", [0.01, 0.3, 0.9])
def test_a_video_that_was_cut_off_is_read_or_refused_in_words(tmp_path, share):
    """No exception but the line that begins with its name."""
    whole = video(tmp_path / "spin.mp4", sound(SHORT, 1, RATE)).read_bytes()
    path = tmp_path / "cut.mp4"
    path.write_bytes(whole[: int(len(whole) * share)])
    try:
        assert read_signal(path).seconds > 10
    except ValueError as problem:
        assert str(problem).startswith("cut.mp4: ")


@pytest.mark.parametrize("seed", range(12))
def test_a_video_with_changed_bytes_is_read_or_refused_in_words(tmp_path, seed):
    """Forty bytes anywhere, its head too."""
    whole = bytearray(video(tmp_path / "spin.mp4", sound(SHORT, 1, RATE)[: 14 * RATE]).read_bytes())
    rng = np.random.default_rng(seed)
    for at in rng.integers(12, len(whole), 40):
        whole[at] = int(rng.integers(256))
    path = tmp_path / "odd.mp4"
    path.write_bytes(bytes(whole))
    try:
        read_signal(path)
    except ValueError as problem:
        assert str(problem).startswith("odd.mp4: ")


def test_without_the_extra_it_is_said(tmp_path, monkeypatch):
    """All else is read as ever."""
    monkeypatch.setitem(sys.modules, "av", None)
    path = tmp_path / "spin.mp4"
    path.write_bytes(MP4)
    with pytest.raises(
        ValueError, match=r"^spin.mp4: .*extra video isn't installed. Export its sound as WAV"
    ):
        read_signal(path)


def test_what_begins_as_a_video_and_is_none_is_refused(tmp_path):
    """A head and nothing behind it."""
    pytest.importorskip("av", reason="the extra video isn't installed")
    path = tmp_path / "spin.mp4"
    path.write_bytes(MP4)
    with pytest.raises(ValueError, match=r"^spin.mp4: "):
        read_signal(path)


@pytest.mark.parametrize(
    ("begins", "form"),
    [(MP4[:12], "mov"), (b"\x1aE\xdf\xa3" + b"\x00" * 8, "matroska"), (b"RIFF\x00\x00\x00\x00AVI ", "avi"),
     (b"RIFF\x00\x00\x00\x00WAVE", ""), (b"", ""), (b"time,x,y,z\n1", "")],
)  # fmt: skip
def test_the_form_of_a_video_goes_by_its_first_bytes(begins, form):
    """A WAV begins as an AVI does, and is a sound."""
    assert form_of(begins) == form
