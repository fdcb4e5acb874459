"""A step that waits is answered no earlier, counted on the steady clock from what the record says."""

from dataclasses import replace

from tests.helpers.flows.waiting_flow import waiting
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import AnswerHow, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.state.waiting import wait_left, wait_words


def pulling(*minutes: float) -> Job:
    """The dampers' pull is on screen."""
    job = Job(flow=waiting(*minutes))
    job.come_to_pull()
    return job


def test_nothing_is_taken_before_the_time_has_passed():
    """No reading and no verdict."""
    job = pulling(10.0)
    run, step = job.step()
    assert job.session.wait_left() > 0
    assert job.refused(c.TakeReading(run.id, step.id, "60")) is RefusalReason.EARLY
    assert job.refused(c.Judge(run.id, step.id)) is RefusalReason.EARLY
    job.clock.move(job.session.wait_left() - 6)
    assert job.refused(c.TakeReading(run.id, step.id, "60")) is RefusalReason.EARLY
    job.do(c.TakeReading(run.id, step.id, "60"))
    assert job.session.wait_left() == 0.0


def test_what_can_not_be_done_need_not_be_waited_for():
    """Leaving the step out touches nothing."""
    job = pulling(10.0)
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "No scale", AnswerHow.UNABLE))
    assert job.state.answer_records[-1].how is AnswerHow.UNABLE


def test_a_wait_counts_from_when_power_went_off():
    """What is done meanwhile counts."""
    job = pulling(10.0)
    off = job.state.belief["supply"]
    before = job.session.wait_left()
    assert 0 < job.state.clock - off.clock == 600.0 - before
    job.clock.move(100)
    assert before - job.session.wait_left() == 100.0


def test_a_wall_clock_set_forward_shortens_nothing():
    """Only the steady clock counts."""
    job = pulling(10.0)
    before = job.session.wait_left()
    job.clock.move(300, mono=0)
    assert job.session.wait_left() == before


def test_asked_anew_it_begins_anew():
    """After a break power is asked again: nobody knows since when it is off."""
    job = pulling(10.0)
    job.clock.move(620)
    assert job.session.wait_left() == 0.0
    job.do(c.Pause())
    asked = job.asked()
    run, step = job.step()
    assert asked and step.id == "pull" and wait_left(job.state, run, step, 0.0) > 500


def test_without_a_condition_it_counts_from_when_the_step_came_on_screen():
    """What was done before doesn't count; after a break, when it is shown anew, it begins anew."""
    job = Job(flow=waiting(2.0, since=""))
    job.come_to_pull()
    run, step = job.step()
    assert 115.0 < job.session.wait_left() <= 120.0
    assert job.refused(c.TakeReading(run.id, step.id, "60")) is RefusalReason.EARLY
    job.clock.move(115)
    assert job.session.wait_left() == 0.0
    job.do(c.Pause())
    job.asked()
    assert job.step()[1].id == "pull" and job.session.wait_left() > 100.0


def test_a_wait_for_other_machines_is_none_here():
    """As the half hour of a machine that dries as well."""
    flow = waiting(10.0)
    dampers = flow.inspections["dampers"]
    here, elsewhere = ({"kind": (kind,)} for kind in ("front-loader", "top-loader"))
    for applies, left in ((here, True), (elsewhere, False)):
        steps = tuple(
            replace(s, wait=replace(s.wait, applies=applies)) if s.wait else s for s in dampers.steps
        )
        only = replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=steps)})
        job = Job(flow=only)
        job.come_to_pull()
        assert (job.session.wait_left() > 0) is left


def test_the_second_time_takes_the_second_length():
    """Measured again in one run, as where a bus was still charged."""
    job = pulling(0.0, 10.0)
    run, step = job.step()
    assert wait_left(job.state, run, step, 0.0) == 0.0
    again = replace(job.state.answer_records[-1], run=run.id, step="pull")
    assert (
        wait_left(replace(job.state, answer_records=(*job.state.answer_records, again)), run, step, 0.0) > 500
    )


def test_a_time_in_words():
    """The second that has begun counts whole, so that '0 s' is never left to wait."""
    assert [wait_words(s) for s in (0.2, 59.0, 60.0, 200.4)] == ["1 s", "59 s", "1 min 00 s", "3 min 21 s"]
