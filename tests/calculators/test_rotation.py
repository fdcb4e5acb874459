"""Calculators of play, run-out and a rundown, against made rims and the trade's figures."""

from __future__ import annotations

import math

import numpy as np
import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.rotation import clock_words
from wizard.calculators.values import Value

ANGLES = 2 * np.pi * np.arange(8) / 8


def rim(values, u: float = 0.05) -> list[Value]:
    """Readings in mm round a rim."""
    return [Value(f"{n}", float(v) / 1000, u / 1000, n) for n, v in enumerate(values)]


def play(values, u: float = 0.05) -> Value:
    (value,) = CALCULATORS["play-by-clock"].compute({"readings": rim(values, u)}, {})
    return value


def test_play_at_one_angle_varies() -> None:
    """A cracked spider gives 3 mm at one side and 0.2 at the other: it varies, by 2.8 mm, most near 6 o'clock."""
    value = play([0.2, 0.3, 1.0, 2.6, 3.0, 2.2, 0.9, 0.3])
    assert value.mean == pytest.approx(0.0028)
    assert value.says.startswith("varies, most near 6 o'clock") and "under 0.001" in value.says


def test_the_same_play_at_every_angle_is_even() -> None:
    """A worn bearing gives 2.7 mm everywhere: nothing varies."""
    value = play([2.7] * 8)
    assert value.mean == pytest.approx(0.0, abs=1e-12) and value.says.startswith("even at every angle")


def test_what_the_tool_alone_would_show_is_even() -> None:
    """With a steel rule (0.33 mm) readings of 0.5 and 1.0 mm in turn don't vary, though they range over 0.5 mm."""
    value = play([0.5, 1.0, 0.5, 1.0, 1.0, 0.5, 1.0, 0.5], u=0.33)
    assert value.says.startswith("even") and value.mean < 0.0003


def test_even_play_is_called_even_as_often_as_it_should() -> None:
    """Of 400 even rims read with the tool's own scatter, 95 % are called even: the significance is what it says."""
    rng = np.random.default_rng(7)
    even = sum(play(2.0 + rng.normal(0, 0.05, 8)).says.startswith("even") for _ in range(400))
    assert 0.92 <= even / 400 <= 0.995


def test_run_out_is_largest_less_smallest_with_its_parts() -> None:
    """A rim 1.5 mm eccentric toward 3 o'clock and 0.4 mm oval: the parts are found, and only the run-out is
    judged.
    """
    heights = 5 + 1.5 * np.cos(ANGLES - np.pi / 2) + 0.4 * np.cos(2 * ANGLES)
    whole, eccentric, oval = CALCULATORS["run-out"].compute({"readings": rim(heights)}, {})
    assert whole.mean == pytest.approx((heights.max() - heights.min()) / 1000)
    assert eccentric.mean == pytest.approx(0.0015) and eccentric.says == "high near 3 o'clock"
    assert oval.mean == pytest.approx(0.0004)
    assert (whole.judged, eccentric.judged, oval.judged) == (True, False, False)


def test_the_parts_are_known_better_than_one_reading() -> None:
    """An amplitude from eight readings of 0.05 mm is known to 0.025 mm: found again in the scatter of 500 made
    rims.
    """
    rng = np.random.default_rng(3)
    clean = 5 + 1.5 * np.cos(ANGLES)
    found = [
        CALCULATORS["run-out"].compute({"readings": rim(clean + rng.normal(0, 0.05, 8))}, {})[1]
        for _ in range(500)
    ]
    assert np.std([f.mean for f in found]) == pytest.approx(found[0].uncertainty, rel=0.1)


@pytest.mark.parametrize(
    ("angle", "words"),
    [(0.0, "12 o'clock"), (math.pi, "6 o'clock"), (math.tau * 0.999, "12 o'clock"), (1.31, "2:30")],
)
def test_an_angle_is_said_by_the_clock(angle: float, words: str) -> None:
    """Angles run clockwise from the top."""
    assert clock_words(angle) == f"near {words}"


def test_a_rundown_gives_the_speed_at_the_push() -> None:
    """5 turns in 10 s, slowing evenly: 1 turn a second at the push, 60 rpm."""
    turns, seconds = [Value("drum", 5, 0.25)], [Value("drum", 10, 0.3)]
    (value,) = CALCULATORS["rundown-speed"].compute({"turns": turns, "seconds": seconds}, {})
    assert value.mean * 60 == pytest.approx(60.0)
    assert value.uncertainty / value.mean == pytest.approx(math.hypot(0.05, 0.03))


def test_a_weak_push_on_good_bearings_is_told_from_a_firm_one_on_stiff_ones() -> None:
    """Even drag takes half the push in half the time: 1.25 turns in 5 s is the same drag as 5 turns in 10 s."""
    for turns, seconds, runs in ((5, 10, 10.0), (1.25, 5, 10.0), (1.25, 2.5, 2.5)):
        given = {"turns": [Value("drum", turns, 0.0)], "seconds": [Value("drum", seconds, 0.0)]}
        (value,) = CALCULATORS["rundown-speed"].compute(given, {})
        assert value.says == f"as firm a push as 60 rpm would run for {runs:.1f} s"
