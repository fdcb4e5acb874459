"""The drum's speed over time: right about the harmonic, within what it says, and none where none turns."""

from dataclasses import replace

import numpy as np
import pytest
import soundfile

from tests.helpers.spin_recordings import sound
from tests.helpers.spin_reports import SHORT, heard, moved
from wizard.domain.recording_vocabulary import SignalKind, SpinPhase
from wizard.recordings.course.line_strength import STEP, LineStrength, line_strength
from wizard.recordings.course.speed_course import speed_course
from wizard.recordings.course.speed_ridge import speed_ridge
from wizard.recordings.reading.recorded_signal import RecordedSignal
from wizard.recordings.spin_report import spin_report

LATE = 0.05
"""The made motions begin so many seconds into their spin."""


def made(time, values, jitter=0.0):
    """A motion of given times and axes."""
    step = float(np.median(np.diff(time)))
    return RecordedSignal("m", "", SignalKind.MOTION, 1 / step, 1 / step, time, values, jitter, (), True, ())


@pytest.mark.parametrize(
    ("report", "late"),
    [(lambda: moved("healthy"), LATE), (lambda: moved("uneven"), LATE), (lambda: moved("second"), LATE),
     (lambda: heard("healthy"), 0.0)],
    ids=["motion", "uneven times", "twice a turn", "sound"],
)  # fmt: skip
def test_the_course_holds_the_truth_within_its_uncertainty(report, late):
    """Source: tests/helpers/spin_recordings.py, whose speed is given. 95 % of the times lie within 2 u."""
    course = report().course
    true = SHORT.speed(course.at + late)
    seen = ~np.isnan(course.speed) & (true > 2.5)
    assert np.mean(~np.isnan(course.speed[true > 4])) > 0.9, "it is seen while the drum turns fast"
    off = np.abs(course.speed - true)[seen]
    assert np.mean(off <= 2 * course.speed_u[seen]) >= 0.95
    assert np.median(off) < 0.03


@pytest.mark.parametrize(
    "report", [lambda: moved("healthy"), lambda: heard("healthy")], ids=["motion", "sound"]
)
def test_the_phases_are_told_apart(report):
    """Ramp, spin and coast within a second and a half of where they are; what goes before is no ramp."""
    marks = SHORT.marks
    found = {stretch.phase: stretch for stretch in report().stretches}
    assert found[SpinPhase.SPIN].start == pytest.approx(marks[2], abs=1.5)
    assert found[SpinPhase.SPIN].end == pytest.approx(marks[3], abs=1.5)
    assert found[SpinPhase.RAMP].end == found[SpinPhase.SPIN].start
    assert found[SpinPhase.COAST].start == found[SpinPhase.SPIN].end
    assert marks[1] - 1 < found[SpinPhase.RAMP].start < marks[1] + 9
    assert report().stretches[-1].phase in (SpinPhase.REST, SpinPhase.TUMBLE)


def orders(sizes, speed=12.0, noise=0.3, seconds=40.0, rate=200.0, seed=3):
    """A drum at one speed whose orders have these sizes, m/s2, in noise."""
    time = np.arange(0, seconds, 1 / rate)
    rng = np.random.default_rng(seed)
    values = noise * rng.standard_normal((len(time), 3))
    for order, size in enumerate(sizes, start=1):
        values[:, 2] += size * np.sin(2 * np.pi * order * speed * time + order)
    return made(time, values)


@pytest.mark.parametrize(
    "sizes",
    [
        (1, 0, 0, 0),
        (1, 0.5, 0.2, 0.1),
        (0.5, 1, 0.2, 0.1),
        (0.3, 1.5, 0.1, 0.3),
        (0.4, 0.1, 1.0, 0.1),
        (1, 1, 1, 1),
    ],
)
@pytest.mark.parametrize("speed", [7.0, 12.0, 18.3])
def test_the_harmonic_is_right_whichever_order_is_the_loudest(sizes, speed):
    """Leclere 2016: the usual error of one order alone."""
    ridge = speed_ridge(line_strength(orders(sizes, speed)))
    assert np.nanmedian(ridge.speed) == pytest.approx(speed, abs=STEP)


def test_the_plate_settles_what_the_orders_leave_open():
    """Even orders alone look like a drum twice as fast; no drum is faster than its plate says."""
    lines = line_strength(orders((0.0, 1.0, 0.0, 0.6), 9.0))
    assert np.nanmedian(speed_ridge(lines).speed) == pytest.approx(18.0, abs=STEP)
    given = speed_ridge(lines, plate=9.5)
    assert np.nanmedian(given.speed) == pytest.approx(9.0, abs=STEP) and given.sure


@pytest.mark.parametrize("seed", range(12))
def test_no_drum_is_seen_in_noise(seed):
    """White, or heavy at low frequencies as floors are."""
    rng = np.random.default_rng([seed, 8])
    values = rng.standard_normal((6000, 3))
    values = np.cumsum(values, axis=0) * 0.05 + values if seed % 2 else values
    time = np.arange(6000) / 100
    assert np.mean(np.isnan(speed_ridge(line_strength(made(time, values))).speed)) > 0.97


def test_uneven_times_are_taken_as_they_stand():
    """A line of 18 Hz at 50 readings a second whose times jitter by 20 %: where it is, and as large as it is.

    Source: least squares at the readings' own times.
    """
    rng = np.random.default_rng(6)
    time = np.sort(np.arange(3000) / 50 + 0.2 / 50 * rng.standard_normal(3000))
    values = np.column_stack([np.sin(2 * np.pi * 18 * time), np.zeros(3000)])
    lines = line_strength(made(time, values, jitter=0.2))
    top = lines.power.sum(axis=0)
    assert lines.frequencies[int(np.argmax(top))] == 18.0
    size = np.sqrt(lines.power[:, round(18 / STEP)].mean())
    assert size == pytest.approx(1.0, abs=0.03)


def test_a_gap_is_not_interpolated():
    """Four seconds without readings: no speed is told in their midst."""
    signal = orders((1, 0.3, 0, 0))
    keep = (signal.time < 18) | (signal.time > 22)
    gone = RecordedSignal("m", "", SignalKind.MOTION, 200.0, 200.0, signal.time[keep], signal.values[keep], 0.0,
                          ((18.0, 4.0),), True, ())  # fmt: skip
    lines = line_strength(gone)
    course = speed_course(gone, lines.at, speed_ridge(lines))
    assert lines.missing.any() and lines.strength[lines.missing].max() == 0
    phase = course.phase(np.array([10.0, 30.0]))
    assert np.all(np.isfinite(phase))
    assert isinstance(lines, LineStrength)


@pytest.mark.parametrize("seed", range(3))
def test_the_rest_of_a_sound_is_told(seed, tmp_path):
    """Source: tests/helpers/spin_recordings.py: still for 4 s, then it tumbles, and still again after the coast. The
    level in the rest is that of the made noise, against that of the spin, within 3 dB.
    """
    path = tmp_path / "spin.wav"
    loud = replace(SHORT, rest=8.0, extra={"roar": 0.08})
    soundfile.write(path, sound(loud, seed), 16000)
    report = spin_report(path)
    rests = [s for s in report.stretches if s.phase is SpinPhase.REST]
    assert rests and rests[0].start == 0 and rests[0].end == pytest.approx(8.0, abs=1.0)
    assert rests[-1].end == pytest.approx(loud.marks[-1], abs=1.0)
    level = {name: np.median(report.level[(report.course.at > a) & (report.course.at < b)])
             for name, a, b in (("rest", 1.0, 7.0), ("spin", *loud.marks[2:4]))}  # fmt: skip
    made = 20 * np.log10((0.08 * (15 / 18) ** 1.5 + 2e-4) / 2e-4)
    assert 20 * np.log10(level["spin"] / level["rest"]) == pytest.approx(made, abs=3.0)
