"""What a job asks of the one who does it, counted by hand on short jobs of the small flow."""

from __future__ import annotations

from dataclasses import astuple

from tests.helpers.flows.case_dicts import case
from tests.helpers.jobs import Job, good
from wizard.engine.messages import commands as c
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.effort import CLOSING, Effort, effort


def test_a_look_is_a_question_a_digit_and_two_screens() -> None:
    """The map, then the step: one key opens it, one answers it; its own words are those that are read."""
    job = Job()
    before = effort(job.flow, job.records)[1]
    job.through("quick", "no")
    step = job.flow.inspections["quick"].steps[0]
    words = len(step.do.split()) + sum(len(a.says.split()) for a in step.answers)
    after = effort(job.flow, job.records)[1]
    done = Effort(*(b - a for a, b in zip(astuple(before), astuple(after), strict=True)))
    assert done == Effort(questions=1, keys=2, screens=2, words=words)


def test_a_number_is_its_digits_and_enter_and_a_verdict_is_one_key() -> None:
    """Two digits and Enter eighteen times, and Enter for the verdict: readings, and no question."""
    job = Job()
    job.come_to("dampers", "pull")
    before = effort(job.flow, job.records)[1]
    job.read(18)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    after = effort(job.flow, job.records)[1]
    assert after.readings - before.readings == 18 and after.questions == before.questions
    assert after.keys - before.keys == 18 * 3 + 1


def test_a_tick_is_a_key_each_and_enter() -> None:
    """What is ticked on one screen is one question."""
    job = Job()
    job.come_to("motor", "signs")
    before = effort(job.flow, job.records)[1]
    run, step = job.step()
    job.do(c.GiveAnswer(run.id, step.id, tuple(a.id for a in step.answers[:2])))
    after = effort(job.flow, job.records)[1]
    assert (after.questions - before.questions, after.keys - before.keys) == (1, 3)


def test_the_decision_ends_the_first_part_and_the_close_the_whole() -> None:
    """All that came before the decision, its own keys among them, and all there is."""
    records = play(good(), case()).records
    decided, closed = effort(good(), records)
    at = next(n for n, r in enumerate(records) if r.event.kind == "decided")
    assert decided == effort(good(), records[: at + 1])[1]
    assert closed.asked > decided.asked and closed.keys > decided.keys + CLOSING
    without = effort(good(), records[:-1])[1]
    assert closed == without + Effort(keys=CLOSING, screens=1)
