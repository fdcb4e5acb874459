"""The stop that is dealt with."""

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.screens.job.stopped_lines import stopped_lines
from wizard.screens.viewmodels.stop_in_hand import StopInHand


def stopped():
    """A job that was stopped for gas."""
    job = Job()
    job.do(c.StopWork("gas", "smelt at the door"))
    return job


def shown(job):
    """What stands on its screen."""
    return "\n".join(line.plain for line in stopped_lines(StopInHand(job.view), 76))


def test_without_a_stop_there_is_none_and_nothing_to_show():
    """Only a stopped job has its screen."""
    job = Job()
    assert StopInHand(job.view).stoppage is None and stopped_lines(StopInHand(job.view), 76) == []


def test_its_lines_are_dealt_with_one_after_the_other():
    """The first open one is marked; when all are done the job may be closed."""
    job = stopped()
    lines = StopInHand(job.view).lines
    for line in lines:
        assert StopInHand(job.view).line == line and "Done: the marked line" in shown(job)
        job.do(c.MakeSafe(line.stop, line.number))
    assert lines and StopInHand(job.view).line is None and "Close the job" in shown(job)


def test_what_it_latched_stays_until_somebody_clears_it():
    """It is named, in the words of its condition."""
    job = stopped()
    stop = StopInHand(job.view)
    assert stop.latched and [job.flow.conditions[x].says for x in stop.latched] == list(stop.uncleared)
    assert all(words in " ".join(shown(job).split()) for words in stop.uncleared)


def test_a_lesser_stop_is_not_cleared_before_the_gravest():
    """Gas whose lines could not be done stands for this visit, and so does the outlet behind it."""
    job = stopped()
    job.do(c.StopWork("scorched", "the outlet too"))
    for stop in ("gas", "scorched"):
        for line in range(len(job.flow.stops[stop].make_safe)):
            job.do(c.MakeSafe(stop, line, "nobody opens the windows" if stop == "gas" else ""))
    found = StopInHand(job.view)
    assert found.latched[0] == "gas" and len(found.latched) > 1
    assert found.over == "" and found.kept.startswith("Not done, so the stop stands: ")
