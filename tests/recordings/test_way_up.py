"""Run-up over all ramps to the top speed, with the pauses in it: no peak that is run through is lost."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.helpers.spin_truth import peaks
from tests.recordings.staged_spins import climbing, signal_of
from wizard.domain.recording_vocabulary import FigureKind, SpinPhase
from wizard.recordings.course.order_lines import order_lines
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.course.stretch_choice import ways_up
from wizard.recordings.figures.run_figures import run_figures
from wizard.recordings.spin_report import analysed

MACHINE = {"rest": 4.0, "tumble": 5.0, "zeta": 0.07, "foot": 19.0, "foot_zeta": 0.07}
RAMP, SPIN, COAST, TUMBLE = SpinPhase.RAMP, SpinPhase.SPIN, SpinPhase.COAST, SpinPhase.TUMBLE


@pytest.mark.parametrize("pause", [((12, 420, 7), (12, 1000, 10)), ((12, 350, 30), (20, 1000, 10))])
def test_a_pause_in_the_ramp_hides_no_peak_and_no_sway(pause):
    """The tub's peak (frequency responses of scipy.signal) lies in the shorter ramp, below the pause."""
    spin = climbing(*pause, tub=2.9, **MACHINE)
    figures = analysed(signal_of(spin)).figures
    tub = next(f for f in figures if f.kind is FigureKind.RUN_UP_PEAK and f.value and f.value < 260)
    low, high = tub.value - tub.bias - 2 * tub.uncertainty, tub.value + 2 * tub.uncertainty
    assert any(low <= at <= high for at in peaks(spin) if at < 260), (tub.says, peaks(spin))
    sway = next(f for f in figures if f.kind is FigureKind.SWAY)
    assert sway.value is not None and sway.value > 1, sway.says


def stretches(*phases: SpinPhase) -> tuple[PhaseStretch, ...]:
    """Stretches of ten seconds, one after the other."""
    return tuple(PhaseStretch(phase, 10.0 * n, 10.0 * n + 10) for n, phase in enumerate(phases))


@pytest.mark.parametrize(
    ("phases", "spin", "ways"),
    [
        ((TUMBLE, RAMP, SPIN, RAMP, SPIN, COAST), 4, [(10, 40)]),
        ((RAMP, COAST, TUMBLE, RAMP, SPIN), 4, [(0, 10), (30, 40)]),
        ((RAMP, SPIN, COAST, RAMP, SPIN, RAMP), 1, [(0, 10)]),
        ((SPIN, COAST, RAMP), 0, [(20, 30)]),
        ((TUMBLE, SPIN, COAST), 1, []),
    ],
)
def test_the_ways_up_are_the_ramps_to_the_spin_with_their_pauses(phases, spin, ways):
    """By hand."""
    made = stretches(*phases)
    assert [(way.start, way.end) for way in ways_up(made, made[spin])] == ways


def test_a_peak_that_only_an_earlier_ramp_ran_through_is_told_with_its_own_sweep():
    """Up to 500 rpm by 12 rpm a second, down, and from 400 to 1000: the last ramp begins above the tub's peak."""
    spin = climbing((12, 500, 0.5), (60, 400, 8), (25, 1000, 8), tub=2.9, **MACHINE)
    signal = signal_of(spin)
    at = np.arange(0.0, signal.seconds, 0.25)
    speed = spin.speed(at + 0.05)
    course = SpeedCourse(at, np.where(speed > 1.5, speed, np.nan), np.full(len(at), 0.02), True)
    first = PhaseStretch(RAMP, spin.marks[1] + 8, spin.marks[1] + 41)
    last = PhaseStretch(RAMP, spin.marks[2] - 23.5, spin.marks[2])
    alone = [f.value for f in run_figures(signal, course, last) if f.kind is FigureKind.RUN_UP_PEAK]
    assert all(value is None or value > 260 for value in alone)
    told = [f for f in run_figures(signal, course, last, first) if f.kind is FigureKind.RUN_UP_PEAK]
    tub = next(f for f in told if f.value and f.value < 260)
    low, high = tub.value - tub.bias - 2 * tub.uncertainty, tub.value + 2 * tub.uncertainty
    assert any(low <= at <= high for at in peaks(spin))
    assert 0.01 < tub.bias / tub.value < 0.12, "the sweep of the first ramp, which is slow"


def test_no_peak_is_denied_of_speeds_alone_that_were_seen():
    """Seen from 400 rpm on it says nothing of a tub; seen from 120 on, the range is in the sentence."""
    spin = climbing((15, 1000, 10), tub=2.9, **{**MACHINE, "zeta": 0.9, "foot": 40.0, "foot_zeta": 0.5})
    signal = signal_of(spin)
    at = np.arange(0.0, signal.seconds, 0.25)
    speed = spin.speed(at + 0.05)
    for slowest, there in ((400, None), (120, False)):
        seen = np.where(60 * speed >= slowest, speed, np.nan)
        course = SpeedCourse(at, seen, np.full(len(at), 0.02), True)
        ramp = PhaseStretch(RAMP, float(at[np.isfinite(seen)][0]), spin.marks[2])
        (told,) = [f for f in run_figures(signal, course, ramp) if f.kind is FigureKind.RUN_UP_PEAK]
        assert told.value is None and told.present is there, told.says
        assert (f"between {slowest}" in told.says or "between 12" in told.says) is (there is False)
        assert "no speed below 260 rpm is seen" in told.says or there is False


@pytest.mark.parametrize("share", [0.2, 0.4, 0.6])
def test_a_window_with_a_gap_tells_no_orders(share):
    """A line of 1 m/s2 at 6.8 Hz in noise, of whose window but a share was read: left out, and never large."""
    rng = np.random.default_rng(29)
    time = np.arange(0.0, 3.0, 1 / 400)
    width = 4 / 6.8
    time = time[(time < 1.0) | (time > 1.5 + width / 2 - share * width)]
    values = np.sin(math.tau * 6.8 * time)[:, None] + 0.05 * rng.standard_normal((len(time), 3))
    found = order_lines(time, values, math.tau * 6.8 * time, np.array([0.5, 1.5]), np.full(2, width), 3)
    assert found.size(1)[0] == pytest.approx(math.sqrt(3), rel=0.05)
    assert np.isinf(found.noise[1]).all() and found.size(1)[1] == 0
