"""Replay equals live, and what a frame shows of its moment."""

from datetime import UTC, datetime
from itertools import pairwise

import pytest
from hypothesis import given, settings

from tests.helpers.flows.examples import examples
from tests.helpers.jobs import Job, good
from tests.helpers.wandering_jobs import Watched, moves, wander
from wizard.domain.vocabulary import NextKind, RepairOutcome, RunStatus, Verdict
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Answered, InspectionLeft, NoteTaken, ReadingTaken, Recorded
from wizard.engine.messages.repair_parts import PartFitted
from wizard.review.jumps import jump_places
from wizard.review.replay import EVERY, Jump, Replay


@given(moves)
@settings(max_examples=examples(60), deadline=None)
def test_every_state_replayed_is_the_live_one(made):
    """For random jobs the replay holds after each event just what the session held live."""
    job = Watched()
    wander(job, made)
    replay = Replay(job.flow, job.records)
    assert len(replay) == len(job.records) == len(job.states) - 1
    for place, live in enumerate(job.states):
        assert replay.state(place) == live
    assert replay.end == job.state


@given(moves)
@settings(max_examples=examples(25), deadline=None)
def test_random_access_is_the_same_as_going_through(made):
    """States asked for backward are those asked for forward."""
    job = Watched()
    wander(job, made)
    replay = Replay(job.flow, job.records)
    backward = [replay.state(p) for p in range(len(replay), -1, -1)]
    assert backward[::-1] == [Replay(job.flow, job.records).state(p) for p in range(len(replay) + 1)]


@given(moves)
@settings(max_examples=examples(25), deadline=None)
def test_every_event_has_a_frame_in_words(made):
    """No event of a random job is without its words, its screen and its time."""
    job = Watched()
    wander(job, made)
    replay = Replay(job.flow, job.records)
    for place in range(1, len(replay) + 1):
        frame = replay.frame(place)
        assert frame.seq == place
        assert frame.says.strip() and frame.shown.title
        assert frame.after.state.seq == place
        assert frame.stay >= 0.0
    assert replay.frame(len(replay)).elapsed == pytest.approx(sum(r.since for r in job.records))


@pytest.fixture(scope="module")
def mended():
    """A front loader with weak dampers, found, corrected once, mended and closed."""
    job = Job()
    job.through("quick")
    job.come_to("dampers")
    job.answer("settles")
    first = next(g for g in job.state.answer_records if g.step == "bounce")
    job.do(c.Correct(first.seq, ("swings",), "counted again"))
    job.asked()
    job.measure(18)
    job.until(NextKind.REPAIR)
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, (PartFitted("damper", 3),)))
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return Replay(job.flow, job.records)


def places(replay, step):
    """Where that step was answered or read."""
    said = (Answered, ReadingTaken)
    return [p for p, r in enumerate(replay.records, 1) if isinstance(r.event, said) and r.event.step == step]


def test_frame_shows_the_screen_of_that_moment(mended):
    """At the pull of the dampers: the inspection, the step's text, its place, its caution and its limit."""
    frame = mended.frame(places(mended, "pull")[0])
    assert str(frame.where) == "dampers.pull"
    assert frame.shown.title == "Dampers" and (frame.shown.number, frame.shown.count) == (2, 4)
    assert frame.shown.do.startswith("Take each damper off")
    assert frame.shown.caution[0].word == "caution"
    assert frame.shown.limit.startswith("fail below 30 N")
    assert frame.typed == "18"


def test_frame_holds_the_choices_of_a_question(mended):
    """The answers that could be given stand there with their ids."""
    frame = mended.frame(places(mended, "bounce")[0])
    assert [a.id for a in frame.shown.choices] == ["settles", "lingers", "swings"]
    assert frame.says == "At most one. [pass]"


def test_readings_are_judged_as_of_that_moment(mended):
    """One reading judged alone, then all six items when the step was answered."""
    first = places(mended, "pull")[0]
    one = mended.frame(first).judged
    assert [(j.name, j.mean, j.verdict) for j in one] == [("damper 1, out", 18.0, "fail")]
    done = next(p for p in places(mended, "pull") if isinstance(mended.records[p - 1].event, Answered))
    assert len(mended.frame(done).judged) == 6
    spread = next(p for p in places(mended, "spread") if isinstance(mended.records[p - 1].event, Answered))
    assert mended.frame(spread).judged[0].name == "spread"


def test_loop_keeps_what_was_judged_before_it_set_the_readings_aside():
    """A voltage that was too high is shown as it was judged, though work stopped at it."""
    job = Job()
    job.do(c.OpenInspection("motor"))
    while job.at != "dead.volts":
        job.answer()
    job.read(200)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    replay = Replay(job.flow, job.records)
    place = max(p for p in places(replay, "volts") if isinstance(replay.records[p - 1].event, Answered))
    judged = replay.frame(place).judged
    assert judged[0].mean == 200.0 and judged[0].verdict is Verdict.FAIL


def test_correction_shows_the_earlier_value(mended):
    """What it was, what it is, why, and which event it was."""
    (change,) = mended.changes
    assert (change.was, change.now) == ("At most one [pass]", "Three or more [fail]")
    assert change.reason == "counted again" and str(change.where) == "dampers.bounce"
    frame = mended.frame(mended.place_of(change.seq))
    assert frame.change == change and frame.says.startswith("Corrected: Three or more.")
    assert change.first == places(mended, "bounce")[0]


def test_ranking_is_that_of_the_moment(mended):
    """The ranking at a place is the live one there, and another one at the end."""
    early, late = mended.place_of(places(mended, "bounce")[0]), len(mended)
    assert mended.ranked(early) == ranking(mended.view(early))
    assert mended.ranked(late) == ranking(mended.view(late))
    assert mended.ranked(late)[0].fault != "dampers-worn", "they were repaired"
    assert mended.ranked(early) != mended.ranked(late)


def test_time_spent_is_that_on_the_step(mended):
    """18 readings at 5 s each and the judging: 95 s on the pull; what was asked before it counts elsewhere."""
    pull = next(s for s in mended.steps if s.step == "pull")
    assert pull.seconds == pytest.approx(19 * 5.0)
    assert pull.began < places(mended, "pull")[0] and pull.ended == places(mended, "pull")[18]


def test_spans_cover_every_event_once(mended):
    """How the machine stood along the time line leaves no gap and doesn't overlap."""
    seqs = [n for s in mended.spans for n in range(s.first, s.last + 1)]
    assert seqs == [r.seq for r in mended.records]
    first = mended.spans[0]
    assert (first.words, first.live) == (("SUPPLY NOT KNOWN",), True)
    assert ("POWER HELD", "TRIED", "DRUM STILL") in {s.words for s in mended.spans if not s.live}
    assert all(a.words != b.words or a.live != b.live for a, b in pairwise(mended.spans))


def test_frame_says_how_the_machine_stood_and_what_was_asked(mended):
    """The badge after the event, what was believed from then on, and the command that brought it about."""
    place = places(mended, "plug")[0]
    frame = mended.frame(place)
    assert frame.badge.words[0] == "POWER HELD" and not frame.badge.live
    assert "Supply: plug or fuse out, with me" in frame.believed
    assert frame.asked == "answer, 5 s after the last key."
    assert mended.frame(place + 1).asked == ""


@pytest.mark.parametrize("kind", Jump)
def test_jumps_go_there_and_back(mended, kind):
    """Going forward over all of a kind and back again visits the same places in reverse."""
    forth, place = [], 0
    while (coming := mended.jump(place, kind)) != place:
        forth.append(coming)
        place = coming
    back, place = [], len(mended) + 1
    while (before := mended.jump(place, kind, forward=False)) != place:
        back.append(before)
        place = before
    assert forth == back[::-1] == list(jump_places(mended, kind))
    assert forth or kind in (Jump.PHOTO, Jump.NOTE, Jump.REFUSED)


def test_place_outside_is_refused(mended):
    with pytest.raises(IndexError, match="place"):
        mended.state(len(mended) + 1)
    with pytest.raises(IndexError, match="place"):
        mended.frame(0)


def test_snapshots_are_few():
    """A long session keeps one state in so many, not all."""
    job = Job()
    for number in range(EVERY * 4):
        job.do(c.AddNote(f"{number}"))
    assert len(Replay(job.flow, job.records)._kept) == len(job.records) // EVERY + 1


def test_event_of_a_run_that_never_began_is_named():
    """A journal that speaks of a run it doesn't have: that event's frame says so, and the next goes on."""
    at = datetime(2026, 3, 2, tzinfo=UTC).isoformat()
    events = (InspectionLeft(run=9, how=RunStatus.DONE), NoteTaken(text="Here."))
    replay = Replay(good(), [Recorded(n, at, 0.0, event) for n, event in enumerate(events, 1)])
    assert "Event 1 speaks of run 9" in replay.frame(1).trouble and not replay.frame(2).trouble
    assert replay.end.notes[0].text == "Here."
