"""The made recordings: the same bytes each time, and they say what they were made to say."""

import hashlib
from dataclasses import replace

import pytest

from wizard.domain.recording_vocabulary import FigureKind as Kind
from wizard.practice.demo import demo_motion, demo_sound
from wizard.practice.demo.demo_spin import SOUNDS, SPINS
from wizard.recordings.spin_report import spin_report


def present(report):
    """The kinds of figures that were found."""
    return {figure.kind for figure in report.figures if figure.present}


def top(report):
    """The top speed, and twice its uncertainty."""
    (found,) = [figure for figure in report.figures if figure.kind is Kind.TOP_SPEED]
    return found.value, 2 * found.uncertainty


@pytest.mark.parametrize(
    "name", ["healthy", *(pytest.param(n, marks=pytest.mark.nightly) for n in SPINS if n != "healthy")]
)
def test_a_made_motion_is_read_and_its_speed_is_right(tmp_path, name):
    """Each is followed through its phases."""
    demo_motion.write_motion(SPINS[name], 1, tmp_path / "demo.csv")
    report = spin_report(tmp_path / "demo.csv")
    value, wide = top(report)
    assert abs(value - SPINS[name].top) <= wide
    assert (Kind.TWICE_A_TURN in present(report)) == (name == "spider")
    assert (Kind.KNOCK in present(report)) == (name == "spider")
    if name == "healthy":
        assert Kind.BANG not in present(report)
    if name == "worn-dampers":
        peaks = [f.value for f in report.figures if f.kind is Kind.RUN_UP_PEAK and f.value]
        assert any(150 < peak < 200 for peak in peaks), "the tub swings as it is run up"


@pytest.mark.nightly
@pytest.mark.parametrize("name", SOUNDS)
def test_a_made_sound_is_read_and_its_bearing_is_heard(tmp_path, name):
    """A 6205 with a defect of its outer ring, and one without."""
    demo_sound.write_sound(SOUNDS[name], 1, tmp_path / "demo.wav")
    report = spin_report(tmp_path / "demo.wav", bearing="6205")
    value, wide = top(report)
    assert abs(value - 1000) <= wide
    assert (Kind.BEARING_TONE in present(report)) == (name == "bearing")
    assert "grows as the 1.7th power" in " ".join(figure.says for figure in report.figures)


def test_the_same_seed_gives_the_same_bytes_and_another_others():
    """A short spin, so that it is quick."""
    short = replace(SPINS["healthy"], top=200.0, hold=1.0)
    texts = [demo_motion.phone_csv(short, seed) for seed in (1, 1, 2)]
    digests = [hashlib.sha256(text.encode()).hexdigest() for text in texts]
    assert digests[0] == digests[1] != digests[2]
    assert (demo_sound.sound(short, 3) == demo_sound.sound(short, 3)).all()
