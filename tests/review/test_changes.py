"""What was put right: each kind, with the earlier value and the event that it came with."""

import pytest

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.review.replay import Replay


@pytest.fixture
def job():
    return Job()


def changes(job):
    return Replay(job.flow, job.records).changes


def dampers(job):
    job.come_to("dampers")
    return job


def test_nothing_put_right_is_no_change(job):
    job.until(NextKind.DECIDE)
    assert changes(job) == ()


def test_answer_put_right_names_what_no_longer_counts(job):
    """Answers after it that are off the path now."""
    dampers(job)
    job.answer("swings")
    first = job.state.answer_records[-1]
    job.do(c.Correct(first.seq, ("settles",), "it was the load"))
    (one,) = changes(job)
    assert (one.kind, str(one.where), one.was, one.now) == (
        "answer", "dampers.bounce", "Three or more [fail]", "At most one [pass]",
    )  # fmt: skip
    assert (one.first, one.at, one.reason) == (first.seq, first.at, "it was the load")


def test_reading_typed_again_and_put_right(job):
    """Typed over at once, then corrected with a reason: two changes, each from the value before it."""
    dampers(job)
    job.answer("swings")
    job.asked()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "18"))
    job.do(c.TakeReading(run.id, step.id, "1.9 kg"))
    last = job.state.reading_records[-1]
    job.do(c.CorrectReading(last.seq, "20", "misread"))
    typed, put = changes(job)
    assert (typed.was, typed.now, typed.reason) == ("18 N", "1.9 kg", "typed again")
    assert (put.was, put.now, put.reason, put.first) == ("1.9 kg", "20 N", "misread", last.seq)
    assert {typed.kind, put.kind} == {"reading"}


def test_undo_takes_back(job):
    dampers(job)
    job.answer("swings")
    gone = job.state.answer_records[-1]
    job.do(c.Undo())
    (one,) = changes(job)
    assert (one.kind, one.was, one.now, one.first) == (
        "undone",
        "Three or more [fail]",
        "taken back",
        gone.seq,
    )


def test_fact_put_right_names_the_event_that_it_came_with(job):
    """And the facts that this machine is then no longer asked."""
    taken = next(r for r in job.records if getattr(r.event, "fact", "") == "kind")
    job.do(c.SetFact("kind", "top-loader"))
    kind, asked = changes(job)
    assert (kind.kind, kind.fact, kind.was, kind.now) == ("fact", "kind", "Front loader", "Top loader")
    assert (kind.first, kind.at) == (taken.seq, taken.at)
    assert (asked.fact, asked.was, asked.now) == ("dampers", "Three", "no longer asked")


def test_complaint_and_decision_said_anew(job):
    job.do(c.SetComplaint("It walks."))
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    first = job.state.decided_seq
    job.do(c.Confirm(()))
    words, decision = changes(job)
    assert (words.kind, words.was, words.now) == (
        "complaint",
        "It bangs when it starts to spin.",
        "It walks.",
    )
    assert (decision.was, decision.now, decision.first) == ("Dampers worn", "no fault", first)


def test_step_left_out_and_then_done(job):
    """The earlier value is 'not done'."""
    dampers(job)
    job.answer("swings")
    job.asked()
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "no scale"))
    job.do(c.Undo())
    (one,) = changes(job)
    assert one.was == "not done"
