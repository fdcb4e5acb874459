"""What a replay costs against the bare fold that every resuming pays. Run by hand, or by the nightly job."""

import time

import pytest

from tests.bench.budget import within
from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.engine.state.fold import fold_all
from wizard.review.replay import Replay

NOTES = 1_500


@pytest.fixture(scope="module")
def long_job():
    """A job of some 1,600 events."""
    job = Job()
    job.through("quick")
    for number in range(NOTES):
        job.do(c.AddNote(f"Note {number}."))
    return job


def seconds(act, times=5):
    """The least time of a few."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        act()
        found.append(time.perf_counter() - began)
    return min(found)


def test_going_through_costs_little_more_than_the_fold(long_job):
    """At most 2.5 times the fold alone: it folds once and adds up times."""
    bare = seconds(lambda: fold_all(long_job.records))
    whole = seconds(lambda: Replay(long_job.flow, long_job.records))
    within("a replay begun, 1,600 events", whole / bare, 2.5, "folding them")


def test_any_event_is_near(long_job):
    """A state far from the last one asked for costs at most a fifth of folding up to it."""
    replay = Replay(long_job.flow, long_job.records)
    places = [len(replay) - 1, 40, len(replay) - 200, 900]
    bare = seconds(lambda: fold_all(long_job.records))
    jumps = seconds(lambda: [replay.state(place) for place in places]) / len(places)
    within("a jump in a replay", jumps / bare, 0.2, "folding all events")
