"""A lapse counts the larger gap of two clocks, a wait the smaller."""

from __future__ import annotations

import pytest

from wizard.safety import Moment, gap


def test_clocks_that_agree() -> None:
    passed = gap(Moment(1000.0, 5.0), Moment(1060.0, 65.0))
    assert (passed.lapse, passed.wait, passed.set_back) == (60.0, 60.0, False)


def test_a_lid_that_was_shut_is_a_lapse_and_no_wait() -> None:
    """The steady clock stood still: somebody may have been at the machine, and no charge is known to have bled."""
    passed = gap(Moment(1000.0, 5.0), Moment(4600.0, 7.0))
    assert (passed.lapse, passed.wait) == (3600.0, 2.0)


def test_a_wall_clock_set_forward_shortens_no_wait() -> None:
    passed = gap(Moment(0.0, 0.0), Moment(300.0, 10.0))
    assert (passed.lapse, passed.wait) == (300.0, 10.0)


def test_a_wall_clock_set_back_is_said_and_hides_no_lapse() -> None:
    passed = gap(Moment(5000.0, 0.0), Moment(1400.0, 1200.0))
    assert passed.set_back
    assert (passed.lapse, passed.wait) == (1200.0, 0.0)


def test_a_steady_clock_of_another_run_is_said() -> None:
    """It began again at nought."""
    assert gap(Moment(1000.0, 900.0), Moment(1010.0, 1.0)).set_back


@pytest.mark.parametrize("back", [0.0, 0.5, 2.0])
def test_a_clock_trimmed_by_the_net_is_not_set_back(back: float) -> None:
    passed = gap(Moment(100.0, 10.0), Moment(100.0 - back, 10.0))
    assert not passed.set_back
    assert passed.lapse == 0.0
    assert passed.wait == 0.0


@pytest.mark.parametrize("back", [2.1, 3.0])
def test_a_clock_set_back_by_more_than_two_seconds_is_set_back(back: float) -> None:
    assert gap(Moment(100.0, 10.0), Moment(100.0 - back, 10.0)).set_back
