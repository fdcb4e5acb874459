"""Words and times as they are written on screen."""

from tests.helpers.stage import Job
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


def test_a_time_that_can_t_be_read_is_no_time():
    """An altered journal must not break a screen."""
    assert labels.local("") is None and labels.hour("yesterday") == "" and labels.day_and_hour("x") == ""
