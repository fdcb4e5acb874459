"""The spin is the fastest steady stretch, whatever went before, and no short gap of the readings ends it."""

from __future__ import annotations

import numpy as np
import pytest

from tests.recordings.staged_spins import climbing, signal_of
from wizard.domain.recording_vocabulary import FigureKind, SpinPhase
from wizard.recordings.spin_report import SpinReport, analysed

MACHINE = {"rest": 4.0, "tumble": 5.0, "zeta": 0.09, "foot": 17.0, "foot_zeta": 0.07}


def one(report: SpinReport, kind: FigureKind):
    """The first figure of a kind."""
    return next(figure for figure in report.figures if figure.kind is kind)


def test_the_fastest_steady_stretch_is_the_spin_and_not_the_longest():
    """25 s at 500 rpm and then 12 s at 1000: it spins at 1000, and what is said of the spin is of that."""
    report = analysed(signal_of(climbing((25, 500, 25), (25, 1000, 12), **MACHINE)))
    told = one(report, FigureKind.TOP_SPEED)
    assert abs(told.value - 1000) <= 2 * told.uncertainty, told.says
    assert "for 1" in told.says, "the twelve seconds, not the twenty-five"
    severe = one(report, FigureKind.SEVERITY)
    assert severe.value is not None, "500 rpm is below its scale"
    assert "at 1000 rpm" in one(report, FigureKind.MIDDLE).says


def test_short_gaps_in_the_spin_do_not_end_it():
    """Two gaps of 0.6 and 0.9 s at full speed, as a phone that is busy leaves them; and three in the ramp."""
    spin = climbing((22, 900, 14), sampled=100.0, **MACHINE)
    start = spin.marks[2]
    gaps = ((start - 20, 0.5), (start + 4.0, 0.6), (start + 9.0, 0.9))
    report = analysed(signal_of(spin, gaps=gaps))
    told = one(report, FigureKind.TOP_SPEED)
    assert abs(told.value - 900) <= 2 * told.uncertainty and told.uncertainty < 15, told.says
    (found,) = [s for s in report.stretches if s.phase is SpinPhase.SPIN]
    assert found.start == pytest.approx(start, abs=1.5) and found.end == pytest.approx(start + 14, abs=1.5)
    seen = report.course.speed[(report.course.at > start + 0.5) & (report.course.at < start + 13)]
    assert np.nanmax(np.abs(seen - 15.0)) < 0.2 and not np.isnan(seen).any()


@pytest.mark.parametrize("length", [0.8, 3.0])
def test_nothing_at_spin_speed_is_called_tumble(length):
    """Whether a gap is short or long, no stretch that is named tumble has a drum that turns at 300 rpm or faster."""
    spin = climbing((22, 900, 16), sampled=100.0, **MACHINE)
    start = spin.marks[2]
    report = analysed(signal_of(spin, gaps=((start + 3.0, length), (start + 10.0, length))))
    slow = [level for level in report.levels if level.stretch.phase is SpinPhase.TUMBLE]
    assert all(level.fastest is None or level.fastest < 300 for level in slow)
    assert all(level.stretch.end < start - 10 or level.stretch.start > start + 16 for level in slow)
    told = one(report, FigureKind.TOP_SPEED)
    assert abs(told.value - 900) <= 2 * told.uncertainty, told.says
