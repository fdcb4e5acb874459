"""The time line: rows, the stays in each inspection, how the machine stood."""

import pytest
from hypothesis import example, given, settings

from tests.helpers.jobs import Job
from tests.helpers.wandering_jobs import Watched, moves, wander
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import badge
from wizard.review.badge_spans import spans
from wizard.review.replay import Replay
from wizard.review.timeline import stays, timeline


def replayed(job):
    return Replay(job.flow, job.records)


@example([(19, 1), (20, 0), (0, 0), (0, 0), (0, 0)])
@given(moves)
@settings(max_examples=30, deadline=None)
def test_rows_are_the_events(made):
    """One a row, in order, with the badge as it stood after it and the working time so far."""
    job = Watched()
    wander(job, made)
    replay = replayed(job)
    rows = timeline(replay)
    assert [r.seq for r in rows] == [r.seq for r in job.records]
    assert [r.safety for r in rows] == [badge(job.view.at(s)).words for s in job.states[1:]]
    assert [r.elapsed for r in rows] == list(replay.elapsed[1:])
    assert {r.seq for r in rows if r.aside} == {x.seq for x in job.state.entries if x.aside}
    assert [r.change for r in rows if r.change] == list(replay.changes)


@given(moves)
@settings(max_examples=30, deadline=None)
def test_spans_are_the_badges_without_a_gap(made):
    """Every event lies in one span, which has the badge that stood, and the times add up."""
    job = Watched()
    wander(job, made)
    found, view = replayed(job).spans, job.view
    assert [n for s in found for n in range(s.first, s.last + 1)] == [r.seq for r in job.records]
    for one in found:
        stood = [badge(view.at(job.states[seq])) for seq in range(one.first, one.last + 1)]
        assert {(b.words, b.live, b.stopped) for b in stood} == {(one.words, one.live, one.stopped)}
    assert sum(s.seconds for s in found) == pytest.approx(sum(r.since for r in job.records), abs=0.01)


def test_no_events_make_no_span():
    assert spans((), ()) == ()


def test_stay_has_its_time_beside_the_usual_one():
    """One step at 5 s; the inspection usually takes three minutes."""
    job = Job()
    job.through("quick")
    _, stay = stays(replayed(job))
    assert (stay.title, stay.seconds, stay.usual, stay.how) == ("Quick checks", 5.0, 180.0, "done")
    assert stay.first < stay.last == job.state.answer_records[-1].seq


def test_time_of_what_is_asked_first_is_not_that_of_the_inspection_below():
    """The dampers wait while what they need is asked: 5 s each, beside the usual time of that step alone."""
    job = Job()
    steps = job.come_to("dampers")
    job.clock.move(60)
    job.answer("swings")
    _, dampers, *asked = stays(replayed(job))
    assert (dampers.title, dampers.seconds) == ("Dampers", 65.0)
    assert [s.seconds for s in asked][: len(steps)] == [5.0] * len(steps)
    plug = asked[steps.index("power.plug")]
    assert plug.usual == job.flow.inspections["power"].step("plug").minutes * 60.0


def test_pause_of_the_program_is_no_time_spent():
    """A session taken up again a day later: the night is in no step."""
    from wizard.engine.session import Session

    job = Job()
    job.do(c.OpenInspection("quick"))
    job.clock.move(86_400)
    job.session = Session.resume(job.flow, tuple(job.records), job.records.append, job.clock)
    job.answer()
    replay = replayed(job)
    assert replay.elapsed[-1] < 3_600
    assert replay.steps[-1].seconds == 5.0


def test_step_asked_again_counts_each_time():
    """What did not come out well is asked again while it is needed: every answer has its own seconds."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    while job.at != "drum.wedge":
        job.answer()
    other = next(a for a in job.step()[1].answers if not a.usual and not a.stop)
    job.answer(other.id)
    assert job.at == "drum.wedge"
    job.clock.move(100)
    job.answer()
    wedge = [s for s in replayed(job).steps if s.step == "wedge"]
    assert [s.seconds for s in wedge] == [5.0, 105.0]
    assert [s.ended for s in wedge] == [g.seq for g in job.state.answer_records if g.step == "wedge"]
