"""Run-up and coast-down: the peak where it is, the sweep's shift bounded, damping read where it can be and else
refused.
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.helpers.spin_recordings import Spin
from tests.helpers.spin_reports import SHORT, heard, moved
from tests.helpers.spin_truth import peaks
from wizard.domain.recording_vocabulary import FigureKind, SignalKind, SpinPhase
from wizard.recordings.course.speed_course import SpeedCourse
from wizard.recordings.course.spin_phases import PhaseStretch
from wizard.recordings.figures.run_curve import curve_peaks, run_curve
from wizard.recordings.figures.run_figures import run_figures
from wizard.recordings.figures.sweep_bias import half_power, ratio_of, swept, unswept
from wizard.recordings.reading.recorded_signal import RecordedSignal

# The run-up of an unbalanced rotor on a spring, as published code has it: m 1, M 10, R 0.5, 38.139 rad/s.
OMEGA, ETA, SHARE = 38.139, 0.25 * 38.139, 1 * 0.5 / 11


def rotor(seconds=15.0, last=75.0, eta=ETA, rate=400.0):
    """Times, displacement and acceleration of that rotor while it runs up evenly, by scipy's solve_ivp."""
    gain = last / seconds

    def moving(t, y):
        turn, angle = gain * t, gain * t * t / 2
        force = SHARE * (turn * turn * math.cos(angle) + gain * math.sin(angle))
        return [y[1], force - eta * y[1] - OMEGA**2 * y[0]]

    time = np.arange(0.0, seconds, 1 / rate)
    found = solve_ivp(moving, (0, seconds), [0, 0], t_eval=time, rtol=1e-9, atol=1e-12, max_step=0.01)
    turn, angle = gain * time, gain * time**2 / 2
    force = SHARE * (turn**2 * np.cos(angle) + gain * np.sin(angle))
    return time, found.y[0], force - eta * found.y[1] - OMEGA**2 * found.y[0]


def recorded(time, axis, noise=0.0, seed=1):
    """A motion of one axis."""
    rng = np.random.default_rng(seed)
    rate = 1 / (time[1] - time[0])
    values = np.column_stack([axis, 0 * axis]) + noise * rng.standard_normal((len(axis), 2))
    return RecordedSignal("m", "", SignalKind.MOTION, rate, rate, time, values, 0.0, (), True, ())


def known_course(seconds, last, first=0.0):
    """The course of a drum whose speed changes evenly, known to a hundredth of a turn a second."""
    at = np.arange(0.0, seconds, 0.25)
    speed = (first + (last - first) * at / seconds) / math.tau
    return SpeedCourse(at, speed, np.full(len(at), 0.01), True)


def test_the_rotor_is_that_of_the_published_run_up():
    """Published: largest 0.18681 m at 8.1405 s."""
    time, path, _ = rotor(rate=4000)
    at = int(np.argmax(np.abs(path)))
    assert abs(path[at]) == pytest.approx(0.18681, abs=2e-5) and time[at] == pytest.approx(8.1405, abs=0.02)


@pytest.mark.parametrize("noise", [0.0, 0.5])
def test_the_peak_of_the_published_run_up_is_found(noise):
    """Published: 0.18681 m at 40.70 rad/s, while it turns 5 rad/s faster each second; at a steady speed 38.749
    rad/s.
    """
    time, _, gained = rotor()
    signal, course = recorded(time, gained, noise), known_course(15.0, 75.0)
    ramp = PhaseStretch(SpinPhase.RAMP, 3.0, 14.9)
    peak = curve_peaks(run_curve(signal, course, ramp), course)[0]
    assert abs(peak.speed - 40.70 / math.tau) <= 2 * math.hypot(peak.speed_u, 0.02)
    assert peak.at == pytest.approx(8.1405, abs=0.12) and peak.swing == pytest.approx(0.18681, rel=0.02)
    told = run_figures(signal, course, ramp)[0]
    static = 60 * 38.749 / math.tau
    assert told.value - told.bias - 2 * told.uncertainty <= static <= told.value
    assert "above where it would peak at a steady speed" in told.says


@pytest.mark.parametrize(
    ("seconds", "zeta", "shift"),
    [(15, 0.125, 0.050), (60, 0.125, 0.013), (15, 0.05, 0.084), (60, 0.05, 0.029)],
)
def test_a_sweep_shifts_the_peak_as_the_rotor_does(seconds, zeta, shift):
    """+75 rad/s in 15 s / 60 s: by 5.0 / 1.3 % at a ratio of .125, 8.4 / 2.9 % at .05; the window takes a little
    off.
    """
    natural = OMEGA / math.tau
    found = swept(75 / seconds / math.tau / natural**2, zeta)
    assert found.peak * math.sqrt(1 - 2 * zeta**2) - 1 == pytest.approx(shift, abs=0.005)


@pytest.mark.parametrize("zeta", [0.03, 0.1, 0.2])
def test_what_falls_is_shifted_the_other_way(zeta):
    """And a slow sweep gives half power as steady turning does (Thomson, 3.10; a large ratio reads high)."""
    assert swept(-0.02, zeta).peak < 1 / math.sqrt(1 - 2 * zeta * zeta) < swept(0.02, zeta).peak
    speed = np.linspace(0.3, 3, 4000)
    steady = speed**2 / np.hypot(1 - speed**2, 2 * zeta * speed)
    read = half_power(speed, steady)
    assert swept(0.0005, zeta).damping == pytest.approx(ratio_of(read[1], read[2]), rel=0.03)
    assert ratio_of(read[1], read[2]) == pytest.approx(zeta, rel=0.08)


@pytest.mark.parametrize("rate", [0.01, 0.04, -0.03])
@pytest.mark.parametrize("zeta", [0.08, 0.15])
def test_the_sweep_is_taken_off(rate, zeta):
    """A resonance at 2.8 Hz, read as the sweep shows it, comes back."""
    natural = 2.8
    seen = swept(rate, zeta)
    assert unswept(seen.peak * natural, seen.damping, rate * natural**2) == pytest.approx(
        (natural, zeta), rel=0.03
    )


@pytest.mark.parametrize(
    ("zeta", "seed"),
    [(0.1, 1), *(pytest.param(z, n, marks=pytest.mark.nightly) for z in (0.06, 0.1, 0.15) for n in (2, 3))],
)
def test_damping_is_read_from_a_clean_run_up(zeta, seed):
    """A rotor of a known ratio, slow enough: within twice what is said. Source: solve_ivp."""
    time, _, gained = rotor(seconds=45.0, eta=2 * zeta * OMEGA, rate=100.0)
    scale = 2.8 * math.tau / OMEGA  # the same rotor, slower: 2.8 Hz
    signal = recorded(time / scale, gained * scale**2, 0.05, seed)
    course = known_course(45.0 / scale, 75.0 * scale)
    told = run_figures(signal, course, PhaseStretch(SpinPhase.RAMP, 5.0, 45.0 / scale - 0.3))[-1]
    assert told.kind is FigureKind.RUN_UP_DAMPING and told.value is not None, told.says
    assert abs(told.value - zeta) <= 2 * told.uncertainty and told.uncertainty < 0.35 * zeta


def test_what_is_run_through_too_fast_gives_no_damping():
    """A ratio of 0.01 in the published run-up: the sweep makes its width."""
    time, _, gained = rotor(eta=0.02 * OMEGA)
    scale = 2.8 * math.tau / OMEGA
    signal, course = recorded(time / scale, gained * scale**2), known_course(15.0 / scale, 75.0 * scale)
    told = run_figures(signal, course, PhaseStretch(SpinPhase.RAMP, 4.0, 15.0 / scale - 0.3))[-1]
    assert told.value is None and "so fast that the sweep" in told.says


def test_a_made_spin_peaks_where_it_is_made_to():
    """Source: frequency responses of scipy.signal (tests/helpers/spin_truth.py)."""
    told = [f for f in moved("healthy").figures if f.kind is FigureKind.RUN_UP_PEAK and f.value]
    assert told
    for figure in told:
        low, high = figure.value - figure.bias - 2 * figure.uncertainty, figure.value + 2 * figure.uncertainty
        assert any(low <= at <= high for at in peaks(SHORT)), figure.says


def test_a_sound_says_nothing_of_swings():
    """It has no m/s2."""
    told = [f for f in heard("healthy").figures if f.kind is FigureKind.RUN_UP_PEAK]
    assert [f.value for f in told] == [None] and "doesn't say how far" in told[0].says


def test_made_spins_have_the_modes_that_they_are_made_with():
    """The helper's own check: an undamped tub peaks at its bounce."""
    assert min(abs(at - 60 * 2.9) for at in peaks(Spin(zeta=0.02))) < 2
