"""Blows where the drum's speed is lost are bangs too; knocks with each turn, and a bearing's beats, are none."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import soundfile

from tests.helpers.spin_recordings import Spin, sound
from tests.helpers.spin_reports import SHORT
from tests.recordings.staged_spins import climbing, signal_of
from wizard.domain.recording_vocabulary import FigureKind
from wizard.recordings.course.lone_peaks import over_neighbours
from wizard.recordings.course.near_speed import near_speed
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.spin_report import analysed, spin_report

MACHINE = {"rest": 4.0, "tumble": 5.0, "tub": 3.3, "foot": 17.0, "foot_zeta": 0.07}


def ringing(times, sizes, pitch, decay=0.03):
    """A function of stamps: a ring of ``pitch`` Hz from each of ``times`` (s), on three axes."""

    def added(time):
        since = time[:, None] - np.asarray(times)[None, :]
        late = np.maximum(since, 0.0)
        each = np.where(since >= 0, np.exp(-late / decay) * np.sin(math.tau * pitch * late), 0.0)
        return (each @ np.asarray(sizes))[:, None] * np.array([0.5, 0.2, 0.8])

    return added


def bangs_of(signal):
    """All figures of bangs."""
    return [figure for figure in analysed(signal).figures if figure.kind is FigureKind.BANG]


@pytest.mark.parametrize("seed", range(3))
def test_blows_that_hide_the_drum_are_told_with_a_speed_between(seed):
    """Three blows, a turn apart, at 200 rpm of a slow reading phone: their ring covers the orders of those seconds."""
    spin = climbing((12, 1000, 8), sampled=100.0, unbalance=0.03, zeta=0.15, **MACHINE)
    hits = spin.marks[1] + 200 / 12 + np.array([-0.3, 0.0, 0.3])
    found = bangs_of(signal_of(spin, seed, added=ringing(hits, [30.0, 35.0, 25.0], 25.0)))
    assert found and all(figure.present for figure in found), [f.says for f in found]
    assert all(abs(figure.at - hits[1]) < 1.0 for figure in found)
    assert all(
        "isn't known" in f.says or 150 <= float(f.says.split(" rpm")[0].split()[-1]) <= 250 for f in found
    )


@pytest.mark.parametrize("seed", range(3))
def test_a_knock_each_turn_is_no_bang(seed):
    """Its size grows with the speed and differs by a quarter, from 60 rpm on."""
    spin = climbing((18, 1000, 12), sampled=400.0, zeta=0.09, **MACHINE)
    time = np.arange(0, spin.marks[-1], 1 / 2000)
    speed = spin.speed(time)
    turned = np.flatnonzero(np.diff(np.floor(np.cumsum(speed) / 2000)) > 0)
    turned = turned[speed[turned] > 1]
    rng = np.random.default_rng([seed, 57])
    sizes = 3.0 * speed[turned] / speed.max() * rng.uniform(0.75, 1.25, len(turned))
    (found,) = bangs_of(signal_of(spin, seed, added=ringing(time[turned], sizes, 90.0, 0.02)))
    assert found.present is False, found.says


@pytest.mark.parametrize("seed", range(2))
def test_the_beats_of_a_bearing_are_no_bangs(tmp_path, seed):
    """Blows of a ball on the ring, three and a half a turn and more as the load turns by, in a sound."""
    made = replace(SHORT, hold=10.0)
    rate = 16000
    heard = sound(made, seed, rate)
    time = np.arange(len(heard)) / rate
    speed = made.speed(time)
    count = np.cumsum(speed) / rate * 3.55
    at = np.flatnonzero(np.diff(np.floor(count)) > 0)
    rng = np.random.default_rng([seed, 35])
    loud = np.zeros(len(heard))
    loud[at] = 0.25 * (speed[at] / speed.max()) ** 1.5 * rng.uniform(0.7, 1.3, len(at))
    short = np.arange(0, 0.012, 1 / rate)
    heard = heard + np.convolve(loud, np.exp(-short / 0.0015) * np.sin(math.tau * 3000 * short))[: len(heard)]
    soundfile.write(tmp_path / "spin.wav", np.clip(heard, -1, 1), rate)
    found = [f for f in spin_report(tmp_path / "spin.wav").figures if f.kind is FigureKind.BANG]
    assert [f.present for f in found] == [False], [f.says for f in found]


def test_that_nothing_bangs_is_not_said_beside_a_peak_that_stands_alone():
    """A slow heave of half a second, far over all else and no short blow: it is named, and neither told nor denied."""
    spin = climbing((18, 900, 10), sampled=200.0, zeta=0.12, unbalance=0.02, **MACHINE)
    at = spin.marks[1] + 22.0

    def heave(time):
        return (12 * np.exp(-(((time - at) / 0.12) ** 2)))[:, None] * np.array([0.0, 0.0, 1.0])

    (found,) = bangs_of(signal_of(spin, added=heave))
    assert found.present is None and found.value is None, found.says
    said = float(found.says.split(" s; ")[0].split()[-1])
    assert said == pytest.approx(at, abs=0.15) and "isn't told" in found.says


@pytest.mark.parametrize("seed", range(4))
def test_a_click_in_the_tumble_is_no_bang(seed):
    """A lock, or a drum that turns round: small, while hardly anything else is to be heard."""
    spin = climbing((18, 900, 10), sampled=200.0, zeta=0.12, **MACHINE)
    (found,) = bangs_of(signal_of(spin, seed, added=ringing([4.2, 6.5, 8.1], [0.5, 0.4, 0.5], 60.0)))
    assert found.present is False, found.says


def test_what_comes_again_does_not_stand_out_and_what_comes_for_a_while_does():
    """By hand: knocks of 1 from 20 s to 60 s stand no higher than one; blows of 5 for four seconds, five times."""
    time = np.arange(0.0, 80.0, 0.01)
    size = np.full(len(time), 0.1)
    size[(time >= 20) & (time < 60) & (np.arange(len(time)) % 25 == 0)] = 1.0
    blows = (time >= 40) & (time < 44) & (np.arange(len(time)) % 25 == 0)
    size[blows] = 5.0
    over = over_neighbours(time, size)
    assert over[(time >= 20) & (time < 60) & ~blows].max() == pytest.approx(1.0)
    assert over[blows] == pytest.approx(np.full(blows.sum(), 5.0))


def test_a_speed_between_what_is_seen_is_put_evenly_and_far_from_it_not_told():
    """By hand: 4 turns a second at 20 s and 6 at 24 s; before 10 s it rises by half a turn a second each second."""
    at = np.arange(0.0, 60.0, 0.25)
    speed = np.where(
        at < 10, np.nan, np.where(at <= 20, 4.0 - (20 - at) * 0.1, np.where(at < 24, np.nan, 6.0))
    )
    speed = np.where((at >= 10) & (at < 14), 1.4 + (at - 10) * 0.5, speed)
    speed[at > 40] = np.nan
    course = SpeedCourse(at, speed, np.full(len(at), 0.01), True)
    assert near_speed(course, 22.0) == (pytest.approx(5.0, abs=0.15), False)
    assert near_speed(course, 30.0) == (pytest.approx(6.0), True)
    assert near_speed(course, 9.5) == (pytest.approx(1.15, abs=0.05), False)
    assert near_speed(course, 5.0) is None and near_speed(course, 50.0) is None


def test_the_machine_of_these_tests_is_as_it_is_said():
    """The helper's own check: 200 rpm is where the blows are made."""
    spin: Spin = climbing((12, 1000, 8), **MACHINE)
    assert 60 * spin.speed(np.array([spin.marks[1] + 200 / 12]))[0] == pytest.approx(200)
