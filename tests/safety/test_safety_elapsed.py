"""How long the machine was left alone is the larger time of two clocks."""

from __future__ import annotations

import pytest

from wizard.safety import ClockMoment, elapsed


def test_clocks_that_agree() -> None:
    passed = elapsed(ClockMoment(1000.0, 5.0), ClockMoment(1060.0, 65.0))
    assert (passed.alone, passed.set_back) == (60.0, False)


def test_a_lid_that_was_shut_is_time_alone() -> None:
    """The steady clock stood still: somebody may have been at the machine."""
    assert elapsed(ClockMoment(1000.0, 5.0), ClockMoment(4600.0, 7.0)).alone == 3600.0


def test_a_wall_clock_set_back_is_said_and_hides_no_time() -> None:
    passed = elapsed(ClockMoment(5000.0, 0.0), ClockMoment(1400.0, 1200.0))
    assert passed.set_back
    assert passed.alone == 1200.0


def test_a_steady_clock_of_another_run_is_said() -> None:
    """It began again at nought."""
    assert elapsed(ClockMoment(1000.0, 900.0), ClockMoment(1010.0, 1.0)).set_back


@pytest.mark.parametrize("back", [0.0, 0.5, 2.0])
def test_a_clock_trimmed_by_the_net_is_not_set_back(back: float) -> None:
    passed = elapsed(ClockMoment(100.0, 10.0), ClockMoment(100.0 - back, 10.0))
    assert not passed.set_back
    assert passed.alone == 0.0


@pytest.mark.parametrize("back", [2.1, 3.0])
def test_a_clock_set_back_by_more_than_two_seconds_is_set_back(back: float) -> None:
    assert elapsed(ClockMoment(100.0, 10.0), ClockMoment(100.0 - back, 10.0)).set_back
