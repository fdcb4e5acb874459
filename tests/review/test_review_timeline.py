"""The time line: rows, the stays in each inspection, the safety states."""

import pytest
from hypothesis import given, settings
from jobs import Job
from wandering import Watched, moves, wander

from wizard.engine import commands as c
from wizard.review.replay import Replay
from wizard.review.spent import spans
from wizard.review.timeline import stays, timeline


def replayed(job):
    return Replay(job.flow, job.records)


@given(moves)
@settings(max_examples=30, deadline=None)
def test_rows_are_the_events(made):
    """One a row, in order, with the safety state that held after it and the working time so far."""
    job = Watched()
    wander(job, made)
    replay = replayed(job)
    rows = timeline(replay)
    assert [r.seq for r in rows] == [r.seq for r in job.records]
    assert [r.safety for r in rows] == [s.safety for s in job.states[1:]]
    assert [r.elapsed for r in rows] == list(replay.elapsed[1:])
    assert {r.seq for r in rows if r.aside} == {x.seq for x in job.state.entries if x.aside}
    assert [r.change for r in rows if r.change] == list(replay.changes)


@given(moves)
@settings(max_examples=30, deadline=None)
def test_spans_are_the_safety_states_without_a_gap(made):
    """Every event lies in one span, which has the state that held, and the times add up."""
    job = Watched()
    wander(job, made)
    found = spans(job.records)
    assert [n for s in found for n in range(s.first, s.last + 1)] == [r.seq for r in job.records]
    for one in found:
        assert {job.states[seq].safety for seq in range(one.first, one.last + 1)} == {one.state}
    assert sum(s.seconds for s in found) == pytest.approx(sum(r.since for r in job.records), abs=0.01)


def test_no_events_make_no_span():
    assert spans(()) == ()


def test_stay_has_its_time_beside_the_usual_one():
    """Four steps of a gate at 5 s each, usually five minutes."""
    job = Job()
    job.isolate()
    (stay,) = stays(replayed(job))
    assert (stay.title, stay.seconds, stay.usual, stay.how) == ("Isolate the machine", 20.0, 300.0, "done")
    assert stay.first < stay.last == job.state.given[-1].seq


def test_time_in_a_gate_is_not_that_of_the_inspection_below():
    """The dampers wait while the machine is isolated."""
    job = Job()
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.clock.move(60)
    job.answer("swings")
    by_title = {s.title: s.seconds for s in stays(replayed(job))}
    assert by_title == {"Dampers": 65.0, "Isolate the machine": 20.0}


def test_pause_of_the_program_is_no_time_spent():
    """A session taken up again a day later: the night is in no step."""
    from wizard.engine.session import Session

    job = Job()
    job.do(c.Open("quick"))
    job.clock.move(86_400)
    job.session = Session.resume(job.flow, tuple(job.records), job.records.append, job.clock)
    job.answer()
    replay = replayed(job)
    assert replay.elapsed[-1] < 3_600
    assert replay.steps[-1].seconds == 5.0


def test_step_asked_again_counts_each_time():
    """A loop: every answer has its own seconds."""
    job = Job()
    job.do(c.Open("motor"))
    while job.at != "dead.bus":
        job.answer()
    job.read(200)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    job.clock.move(100)
    job.answer()
    bus = [s for s in replayed(job).steps if s.step == "bus"]
    assert [s.seconds for s in bus] == [10.0, 110.0]
    assert [s.answer for s in bus] == ["fail", "pass"]
