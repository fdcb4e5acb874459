"""What the screens of a step ask of it."""

from dataclasses import replace

import pytest

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages import commands as c
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.screens.text.answer_numbering import numbering
from wizard.screens.viewmodels.step.current_step import current_step, too_early


@pytest.fixture
def job():
    found = Job()
    found.do(c.OpenInspection("dampers"))
    while found.at != "dampers.pull":
        found.answer()
    return found


def test_a_step_is_that_of_the_run_on_screen(job):
    """With its inspection and its limit."""
    current = current_step(job.view)
    assert (current.inspection.id, current.step.id) == ("dampers", "pull")
    assert current.limit is not None and current.readings == ()


def test_none_is_there_while_nothing_is_open():
    """Only a screen of a step may ask for it."""
    with pytest.raises(AssertionError):
        current_step(Job().view)


def test_a_number_has_a_unit_in_both_systems(job):
    """A pull is read in newtons; on a screen in US units in pounds-force, and that is said."""
    current = current_step(job.view)
    assert current.convertible
    assert (current.unit("metric"), current.other_system("metric")) == ("N", None)
    assert current.unit("us") == "lbf" and current.other_system("us") == "us"


def test_with_some_readings_there_the_rest_alone_is_left_out(job):
    """Not where the part is not fitted: then nothing of it counts."""
    before = current_step(job.view)
    wanted = c.SayUnable(before.run.id, "pull", "stuck", AnswerHow.UNABLE)
    assert before.left_out(AnswerHow.UNABLE, "stuck") == wanted
    job.do(c.TakeReading(before.run.id, "pull", "60", 0, 0, 0))
    after = current_step(job.view)
    assert after.left_out(AnswerHow.UNABLE, "stuck") == c.Judge(before.run.id, "pull", "stuck")
    assert isinstance(after.left_out(AnswerHow.NOT_FITTED, "none"), c.SayUnable)


def test_an_answer_is_too_early_while_the_warning_is_covered_or_not_yet_read(job):
    """The covered warning comes first."""
    current = current_step(job.view)
    grave = replace(current, inspection=job.flow.inspections["dampers"])
    assert too_early(current, 0, False) == ""
    assert too_early(current, 3, False) == "Read it, and do it: an answer is taken in 3 s."
    assert ("behind the drawing" in too_early(grave, 3, True)) == grave.grave


def test_what_is_known_of_several_is_not_asked_again():
    """A break over unhooked dampers: parts and hoses are asked; the covers that stayed on, and what is off or in, are
    not, and no tick that goes against them is taken.
    """
    flow = load(folder_of("washer-shake"), lambda _digest: True)
    found = Job({f.id: f.usual for f in flow.facts} | {"serial": "X1"}, flow)
    found.come_to("dampers", "stroke")
    found.do(c.Pause())
    while found.at != "round-front.seen":
        found.answer()
    assert found.believed("front") == {"off"} and found.believed("wedge") == {"in"}
    offered = {n.answer.id for n in numbering(found.view)}
    assert offered == {c for c in offered if len(found.believed(c)) > 1} and len(found.believed("top")) == 1
    run, step = found.step()
    with pytest.raises(Refused, match="known not to be so"):
        found.do(c.GiveAnswer(run.id, step.id, ("parts", "front", "hoses")))
    found.answer("parts", "top")
    assert set(found.state.answer_records[-1].chosen) == {"parts"} & offered
    assert found.believed("front") == {"off"} and found.believed("top") == {"on"}


def test_after_a_restart_nothing_is_ticked_for_anybody():
    """Nothing is known, so all of it is looked at."""
    found = Job()
    found.come_to("dampers", "pull")
    found.restart()
    while found.at != "round-front.seen":
        found.answer()
    assert current_step(found.view).known == frozenset()
