"""From which second on nobody is known to attend: the limits that the handbook of the program names, at their edges."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job
from wizard.engine.messages.events import Widened
from wizard.engine.queries import next_queries
from wizard.safety import WideningReason

QUARTER = 15 * 60.0
"""'Time widens it: 15 minutes without a key' (DEVELOPERS.md)."""


def isolated() -> Job:
    """The plug in the bag, and no step on screen."""
    job = Job()
    job.through("dampers")
    assert job.state.run is None and job.believed("supply") == {"held"}
    return job


def reasons(job: Job) -> list[WideningReason]:
    """Why less was known, oldest first; not the break at the beginning."""
    return [r.event.why for r in job.records if isinstance(r.event, Widened)][1:]


@pytest.mark.parametrize(("seconds", "lapsed"), [(QUARTER, False), (QUARTER + 1, True)])
def test_a_quarter_of_an_hour_without_a_key_is_no_lapse_and_a_second_more_is(seconds, lapsed):
    job = isolated()
    job.clock.move(seconds)
    assert job.session.touch() is lapsed
    assert job.believed("supply") == ({"live", "cut", "held"} if lapsed else {"held"})
    assert reasons(job) == ([WideningReason.LAPSE] if lapsed else [])


@pytest.mark.parametrize(("more", "lapsed"), [(0.0, False), (1.0, True)])
def test_the_minutes_of_the_step_on_screen_are_added(more, lapsed):
    """Who measures for its usual minutes presses no key meanwhile."""
    job = Job()
    job.come_to("dampers", "pull")
    _, step = job.step()
    assert step.minutes > 0.0
    job.clock.move(QUARTER + step.minutes * 60.0 + more)
    assert job.session.touch() is lapsed
    assert reasons(job) == ([WideningReason.LAPSE] if lapsed else [])


@pytest.mark.parametrize(("seconds", "suspended"), [(60.0, False), (61.0, True)])
def test_a_program_that_did_not_run_for_over_a_minute_was_suspended(seconds, suspended):
    job = isolated()
    job.session.beat()
    job.clock.move(seconds)
    job.session.beat()
    job.session.touch()
    assert reasons(job) == ([WideningReason.SUSPENDED] if suspended else [])


@pytest.mark.parametrize(("seconds", "back"), [(-2.0, False), (-2.1, True)])
def test_a_clock_set_back_by_over_two_seconds_is_said(seconds, back):
    """The net trims it by less."""
    job = isolated()
    job.clock.move(seconds, mono=1.0)
    job.session.touch()
    assert reasons(job) == ([WideningReason.CLOCK] if back else [])


def test_a_lapse_with_nothing_left_to_widen_is_not_written():
    job = isolated()
    job.clock.move(QUARTER + 1)
    assert job.session.touch()
    job.clock.move(QUARTER + 1)
    assert not job.session.touch()
    assert reasons(job) == [WideningReason.LAPSE]


def test_nobody_has_to_attend_a_job_that_is_closed():
    job = Job()
    while not job.closed:
        job.follow(next_queries.next_up(job.view))
    count = len(job.records)
    job.clock.move(QUARTER * 9)
    job.session.beat()
    assert not job.session.touch() and len(job.records) == count
    job.restart()
    assert len(job.records) == count
