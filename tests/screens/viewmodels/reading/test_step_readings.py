"""The readings of a step: what is asked now, one more, and what is said after a number."""

import pytest

from tests.helpers.jobs import Job
from wizard.engine.measuring.judging import Slot
from wizard.engine.messages import commands as c
from wizard.screens.viewmodels.reading.step_readings import further, step_readings, words_after
from wizard.screens.viewmodels.step.current_step import current_step


@pytest.fixture
def job():
    found = Job()
    found.do(c.OpenInspection("dampers"))
    while found.at != "dampers.pull":
        found.answer()
    return found


def readings(job, system="metric", again=None):
    """What a screen would show of them now."""
    return step_readings(current_step(job.view), system, again)


def test_the_first_number_is_asked_with_its_place_and_turn(job):
    """Three dampers, out and in, three times each."""
    first = readings(job)
    assert first.slot == Slot(0, 0, 0) and first.asks == "damper 1, out · 1 of 3"
    assert first.places == 18 and first.judged == () and not first.again and further(first) is None


def test_a_number_is_taken_in_the_unit_on_the_screen(job):
    """The step's own unit isn't written down again."""
    run, _step = job.step()
    assert readings(job).take("60") == c.TakeReading(run.id, "pull", "60", 0, 0, 0, "")
    assert readings(job, "us").take("14") == c.TakeReading(run.id, "pull", "14", 0, 0, 0, "lbf")


def test_once_all_are_there_one_more_is_asked_until_it_is_there(job):
    """It is of what is least sure, and for this step alone."""
    job.read(60)
    done = readings(job)
    more = further(done)
    assert done.slot is None and done.asks == "" and more is not None
    asked = readings(job, again=more)
    assert asked.again and asked.slot == more.slot and asked.asks.endswith("one more") and asked.places > 18
    job.do(asked.take("61"))
    assert not readings(job, again=more).again and readings(job, again=more).has(more.slot)


def test_what_is_words_after_a_number_is_how_it_was_understood(job):
    """Of one that was not taken nothing is said."""
    before = readings(job)
    assert words_after(before, readings(job), "6 kg") == ""
    job.do(before.take("6 kg"))
    assert words_after(before, readings(job), "6 kg") == "kg read as kgf"


def test_with_the_last_number_stands_what_one_more_would_change(job):
    """As a sentence."""
    run, step = job.step()
    job.read(60)
    job.do(c.Undo())
    before = readings(job)
    assert before.slot is not None
    job.do(before.take("60"))
    said = words_after(before, readings(job), "60")
    assert said.endswith(".") and "reading" in said, (run, step, said)


def test_a_step_that_is_not_measured_has_no_readings():
    """Only a reading screen asks for them."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    assert job.step()[1].kind != "measure"
    with pytest.raises(AssertionError):
        readings(job)
