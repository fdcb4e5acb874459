"""Before and after, phase by phase: the difference of two recorded spins with its uncertainty."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.helpers.flows.spin_flow import spin
from wizard.domain.recording_vocabulary import SignalKind, SpinPhase
from wizard.engine.measuring.spin_comparison import SCALE, differences
from wizard.engine.messages.spin_record import KeptStretch


def with_levels(ramp, spinning, coast, known=0.0, **changes):
    """A made spin with these levels."""
    stretches = (
        KeptStretch(SpinPhase.RAMP, 5.0, 30.0, ramp, known, 2 * ramp),
        KeptStretch(SpinPhase.SPIN, 30.0, 50.0, spinning, known, 2 * spinning),
        KeptStretch(SpinPhase.COAST, 50.0, 60.0, coast, known, 2 * coast),
    )
    return spin(stretches=stretches, **changes)


def test_the_difference_has_the_uncertainty_of_both():
    """GUM, 5.1.2: independent parts add by their squares: two scatters, and the scale of either recording."""
    (ramp, *_) = differences(with_levels(2.0, 1.0, 1.0, 0.1), with_levels(0.5, 1.0, 1.0, 0.05))
    assert ramp.difference == pytest.approx(-1.5)
    assert ramp.uncertainty == pytest.approx(
        math.sqrt(0.1**2 + 0.05**2 + (SCALE * 2) ** 2 + (SCALE * 0.5) ** 2)
    )
    assert ramp.clear and "1.50 less (± 0.13)" in ramp.says


def test_what_two_recordings_cannot_tell_apart_is_said_so():
    """One per cent of a level lies within a phone's scale."""
    (_ramp, steady, _coast) = differences(with_levels(1.0, 2.0, 1.0), with_levels(1.0, 2.02, 1.0))
    assert not steady.clear and "no clear difference (" in steady.says


def test_stretches_of_one_phase_count_by_their_power_and_time():
    """Two ramps of 1 and 3 m/s2, as long as each other: root of the mean of the squares, 2.236."""
    two = spin(
        stretches=(
            KeptStretch(SpinPhase.RAMP, 0.0, 10.0, 1.0, 0.0, 2.0),
            KeptStretch(SpinPhase.RAMP, 20.0, 30.0, 3.0, 0.0, 6.0),
            KeptStretch(SpinPhase.SPIN, 30.0, 50.0, 1.0, 0.0, 2.0, 1000.0, 1.0),
        )
    )
    (ramp, _spin) = differences(two, two)
    assert ramp.before == pytest.approx(math.sqrt(5.0)) and ramp.difference == 0


def test_a_phase_that_one_of_them_lacks_is_left_out_and_sounds_have_no_scale():
    """Nothing is set against nothing; dB of two sounds are not compared."""
    alone = spin(stretches=(KeptStretch(SpinPhase.SPIN, 0.0, 10.0, 1.0, 0.0, 2.0, 1000.0, 1.0),))
    assert [d.phase for d in differences(alone, spin())] == [SpinPhase.SPIN]
    sound = spin(signal=SignalKind.SOUND, unit="dB")
    assert differences(sound, spin()) == () and differences(spin(), sound) == ()


def test_alike_machines_are_seldom_said_to_differ():
    """Two recordings of one level with the scatter and scale that are stated: told to differ in about 5 % (normal)."""
    rng = np.random.default_rng(7)
    false = 0
    for _ in range(2000):
        levels = [1.5 * (1 + SCALE * rng.standard_normal()) + 0.04 * rng.standard_normal() for _ in range(2)]
        one, other = (with_levels(level, 1.0, 1.0, 0.04) for level in levels)
        false += differences(one, other)[0].clear
    assert 0.03 < false / 2000 < 0.065
