"""The speed found, held against the plate: drums whose second order alone stands out, plates misread and right ones."""

from __future__ import annotations

from dataclasses import replace

import pytest
import soundfile

from tests.helpers.spin_recordings import motion_csv, sound
from tests.helpers.spin_reports import SHORT
from wizard.domain.recording_vocabulary import FigureKind as Kind
from wizard.recordings.figures.plate_check import order_over, over_words, plate_words
from wizard.recordings.spin_report import spin_report

OVAL = replace(SHORT, top=700.0, unbalance=0.004 * 0.24, second=25.0, noise=0.01)
"""A drum at 700 rpm of which only twice a turn is seen."""


def told(tmp_path, spin, plate, seed=1):
    """What is said of the drum's speed, its value, and the doubts."""
    path = tmp_path / "spin.csv"
    path.write_text(motion_csv(spin, seed), "utf-8")
    report = spin_report(path, plate)
    found = [figure for figure in report.figures if figure.kind is Kind.TOP_SPEED]
    return found[0] if found else None, " ".join(report.doubts)


def test_twice_the_plates_speed_is_the_second_order_and_no_drum():
    """2400 rpm found on a machine of 1200 at most."""
    assert over_words(2400.0, 1200.0, None) == (
        "A line stands out most at 2400 rpm, twice the plate's speed: the second order, not the drum."
    )
    assert (order_over(2400, 1200), order_over(3600, 1200), order_over(1700, 1200)) == (2, 3, None)
    assert order_over(1250, 1200) is None, "a motor's slip and a rounded plate"
    assert "no order of the drum" in over_words(1700.0, 1200.0, 1200.0)
    assert "twice the plate's" in over_words(2400.0, 1200.0, 800.0), "the plate comes first"
    assert "2 times the drum's speed and over the plate's" in over_words(1700.0, 1200.0, 850.0)
    assert over_words(1210.0, 1200.0, 1200.0) == over_words(None, 1200.0, None) == ""


@pytest.mark.parametrize(
    ("speed", "known", "says"),
    [
        (1195.0, 3.0, "That is the plate's top speed (1200)."),
        (1150.0, 40.0, "That is the plate's top speed (1200)."),
        (800.0, 3.0, "That is 67 % of the plate's top speed (1200)."),
        (1260.0, 3.0, "That is 60 rpm over the plate's top speed (1200). Look at the plate again."),
    ],
)
def test_the_speed_is_held_against_the_plate_by_its_uncertainty(speed, known, says):
    """Within two standard uncertainties, or two per cent, they are the same."""
    assert plate_words(speed, known, 1200.0, None) == says


@pytest.mark.parametrize("seed", range(8))
def test_a_drum_whose_second_order_alone_is_seen_is_put_right_by_the_plate(tmp_path, seed):
    """Without a plate it is taken for twice as fast; with it the course is the drum's own."""
    free, _doubts = told(tmp_path, OVAL, None, seed)
    assert free.value == pytest.approx(1400, rel=0.02)
    held, doubts = told(tmp_path, OVAL, 700.0, seed)
    assert held.value == pytest.approx(700, abs=max(2 * held.uncertainty, 10))
    assert "twice the plate's speed: the second order, not the drum" in held.says
    assert "half or double" in held.says, "a plate misread by half would give the same"
    assert "Look at the plate again." in doubts


@pytest.mark.parametrize("seed", range(4))
def test_a_right_plate_changes_no_figure(tmp_path, seed):
    """Its own speed, or more: the drum's speed stays as it was found, and nothing is said to stand out."""
    free, _doubts = told(tmp_path, SHORT, None, seed)
    for plate, share in (
        (900.0, "the plate's top speed (900)"),
        (1400.0, "64 % of the plate's top speed (1400)"),
    ):
        held, doubts = told(tmp_path, SHORT, plate, seed)
        assert held.value == pytest.approx(free.value, rel=1e-3) and share in held.says
        assert "stands out most" not in held.says + doubts


def test_a_plate_that_was_misread_is_said(tmp_path):
    """900 rpm on a machine of 600: no drum is made up, and the plate is asked for again."""
    held, doubts = told(tmp_path, SHORT, 600.0)
    assert held is None and "a plate that was misread. Look at it again." in doubts


def test_a_sound_is_held_against_the_plate_too(tmp_path):
    """The same words."""
    path = tmp_path / "spin.wav"
    soundfile.write(path, sound(SHORT, 1), 16000)
    (found,) = [figure for figure in spin_report(path, 900.0).figures if figure.kind is Kind.TOP_SPEED]
    assert "That is the plate's top speed (900)." in found.says
