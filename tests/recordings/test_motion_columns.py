"""A phone's motion by the names of its columns, at the slower of two rates, and from a sensor that lives."""

from __future__ import annotations

import numpy as np
import pytest

from tests.helpers.spin_recordings import Spin, motion
from wizard.domain.recording_vocabulary import FigureKind
from wizard.recordings.reading.motion_reader import read_motion
from wizard.recordings.spin_report import spin_report

TIME = np.arange(0, 15, 0.02)


def put(tmp_path, time, columns, head="t (s),x (m/s2),y (m/s2),z (m/s2)"):
    """A file with these columns."""
    rows = "\n".join(
        f"{t:.5f}," + ",".join(f"{v:.5g}" for v in each) for t, *each in zip(time, *columns, strict=True)
    )
    path = tmp_path / "r.csv"
    path.write_text(f"{head}\n{rows}\n", "utf-8")
    return path


def lying(seed=1):
    """Three axes of a phone that lies on its back."""
    rng = np.random.default_rng(seed)
    return 0.05 * rng.standard_normal((3, len(TIME))) + np.array([[0.1], [0.2], [9.8]])


@pytest.mark.parametrize("order", ["xyz", "zyx", "yzx"])
def test_gravity_points_along_z_wherever_that_column_stands(tmp_path, order):
    """The axes are x, y and z whatever their order in the file, so a phone on its back is not called tilted."""
    axes = dict(zip("xyz", lying(), strict=True))
    head = "t (s)," + ",".join(f"{axis} (m/s2)" for axis in order)
    got = read_motion(put(tmp_path, TIME, [axes[axis] for axis in order], head))
    assert got.level == pytest.approx((0.1, 0.2, 9.8), abs=0.02)
    assert not any("aren't" in line or "doesn't call" in line for line in got.doubts)


def test_columns_without_a_name_are_said_to_be_taken_in_their_order(tmp_path):
    """Which way up the phone lay rests on that."""
    got = read_motion(put(tmp_path, TIME, lying(), "t (s),c,d,e"))
    assert "The file doesn't call its columns x, y and z: they are taken in that order." in got.doubts


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            lambda axes: np.vstack([axes[:2], np.full((1, axes.shape[1]), 9.81)]),
            "z stands at 9.81 from end to end",
        ),
        (
            lambda axes: np.broadcast_to([[0.0], [0.0], [9.81]], axes.shape),
            "that sensor was dead. Record again",
        ),
        (lambda axes: np.where(np.arange(axes.shape[1]) == 300, 1e19, axes), "no phone reads over 2000"),
    ],
    ids=["one axis", "all", "1e19"],
)
def test_a_sensor_that_no_phone_has_is_refused(tmp_path, change, says):
    """Zero spread, and 1e19 m/s2 in one line: nothing that is told of it would be so."""
    with pytest.raises(ValueError, match=r"r\.csv: [xyz] ") as refused:
        read_motion(put(tmp_path, TIME, change(lying())))
    assert says in str(refused.value)


@pytest.mark.parametrize("where", ["end", "middle"])
def test_the_slower_of_two_rates_bounds_what_is_told(tmp_path, where):
    """100 readings a second, then 33: nothing over 33 / 2.5 Hz is told, in words and in the figures (Nyquist)."""
    slow = (15.0, 60.0) if where == "end" else (10.0, 20.0)
    fine = np.arange(0, 30, 0.01)
    time = np.array([t for n, t in enumerate(fine) if not slow[0] <= t < slow[1] or n % 3 == 0])
    rng = np.random.default_rng(3)
    axes = 0.05 * rng.standard_normal((3, len(time))) + np.array([[0.1], [0.2], [9.8]])
    got = read_motion(put(tmp_path, time, axes))
    assert got.rate == pytest.approx(100 / 3, rel=0.01) and got.highest == pytest.approx(40 / 3, rel=0.01)
    text = " ".join(got.doubts)
    assert (
        "It has two rates: 100 readings a second" in text and "33" in text and "the slower one bounds" in text
    )
    assert "Nothing faster than 13 Hz is told" in text


def test_a_spin_that_was_read_too_slowly_in_part_has_no_severity(tmp_path):
    """A spin of 20 turns a second, whose second half was read 33 times a second: it may read as a slower one there
    (Nyquist), so no velocity is told, and why is said.
    """
    made = Spin(top=1200.0, rate=40.0, tumble=4.0, hold=14.0, slow=60.0, sampled=100.0)
    stamps, axes = motion(made, 4)
    kept = (stamps < 38.0) | (np.arange(len(stamps)) % 3 == 0)
    report = spin_report(put(tmp_path, stamps[kept], axes[:, kept]))
    severe = [f for f in report.figures if f.kind is FigureKind.SEVERITY]
    assert all(f.value is None and "two rates" in f.says for f in severe)
    assert "A drum that turns faster than 1000 rpm reads as a slower one at 33 a second." in report.doubts
    tops = [f.value for f in report.figures if f.kind is FigureKind.TOP_SPEED]
    assert all(value <= 1.02 * 60 * report.signal.highest for value in tops)
