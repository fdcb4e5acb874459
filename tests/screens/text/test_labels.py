"""Words and times as they are written on screen."""

from datetime import UTC, timedelta, timezone

from tests.helpers.stage import Job
from wizard.domain.clock_times import clock_time
from wizard.engine.messages import commands as c
from wizard.safety import WideningReason
from wizard.screens.text import labels


def test_every_reason_for_knowing_less_has_a_sentence_of_its_own():
    """All of the engine's are there."""
    assert set(labels.WIDENED) == set(WideningReason)
    assert len(set(labels.WIDENED.values())) == len(labels.WIDENED)
    assert all(says.endswith(".") for says in labels.WIDENED.values())


def test_why_something_is_asked_again_is_said_until_it_was():
    """A break, as long as nothing was answered since."""
    job = Job()
    assert labels.widened(job.state) == "You took a break."
    job.come_to("dampers")
    assert labels.widened(job.state) == ""
    job.do(c.Pause())
    assert labels.widened(job.state) == labels.WIDENED[WideningReason.PAUSE]
    job.answer()
    assert labels.widened(job.state) == ""


def test_a_time_of_another_day_has_its_day():
    """Not where it is read on the same day, wherever that is."""
    monday, tuesday = "2026-03-02T23:30:00+00:00", "2026-03-03T08:00:00+00:00"
    assert clock_time(monday, monday, UTC) == "23:30"
    assert clock_time(monday, tuesday, UTC) == "2 March 2026 23:30"
    assert clock_time(monday, tuesday, UTC, short=True) == "2 Mar 23:30"
    assert clock_time(monday, tuesday, timezone(timedelta(hours=1))) == "00:30"
    assert clock_time("", monday) == ""


def test_a_time_that_can_t_be_read_is_no_time():
    """An altered journal must not break a screen."""
    assert (
        labels.local("") is None and clock_time("yesterday", "") == "--:--" and labels.day_and_hour("x") == ""
    )
