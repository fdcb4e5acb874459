"""What a run finds after the handover is told: a visit isn't over while the owner knows less than the record.

Common practice: who says that a machine is well and then sees it fail says so.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState, NextKind, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries

WAYS = ["in-use", "out-of-use"]


def handed_over(way: str) -> Job:
    """Nothing was found, the owner was told so, and nothing is left to do."""
    job = shake(motor="brushed")
    job.do(c.Confirm((), "none"))
    skip_all(job)
    hand_over(job, way)
    assert next_queries.next_up(job.view).kind is NextKind.CLOSE
    return job


def skip_all(job: Job) -> None:
    while (coming := next_queries.next_up(job.view)).kind is NextKind.INSPECT:
        job.do(c.Skip(coming.target, "no time"))


def hand_over(job: Job, way: str) -> None:
    job.do(c.OpenInspection("handover"))
    while job.state.run is not None:
        job.answer(*((way,) if job.at == "handover.way" else ()))


def sensed(job: Job, answer: str) -> None:
    job.do(c.OpenInspection("sensing"))
    while job.state.run is not None:
        job.answer(*((answer,) if job.at == "sensing.big-bag" else ()))


def decided_anew(job: Job) -> None:
    """A run that fails after 'no fault' asks first what is wrong; nobody can say."""
    assert next_queries.next_up(job.view).kind is NextKind.DECIDE
    job.do(c.Confirm((), "Nobody can say."))


@pytest.mark.parametrize("way", WAYS)
def test_a_run_that_fails_after_the_handover_is_told(way):
    job = handed_over(way)
    sensed(job, "runs")
    decided_anew(job)
    coming = next_queries.next_up(job.view)
    assert (coming.kind, coming.target, coming.step) == (NextKind.HANDOVER, "handover", "")
    assert "older" in coming.why
    assert job.refused(c.Close()) is RefusalReason.CLOSE
    hand_over(job, way)
    job.do(c.Close())
    assert job.state.job is JobState.CLOSED


def test_a_run_that_finds_nothing_leaves_what_was_told():
    job = handed_over("in-use")
    sensed(job, "refuses")
    coming = next_queries.next_up(job.view)
    assert coming.kind is NextKind.CLOSE or coming.step


def test_a_handover_that_was_left_half_way_begins_anew_once_something_was_found():
    """The owner was told, the last look was left open, and then a run failed."""
    job = shake(motor="brushed")
    job.do(c.Confirm((), "none"))
    skip_all(job)
    job.do(c.OpenInspection("handover"))
    while job.at != "handover.in-use":
        job.answer()
    job.do(c.Leave())
    sensed(job, "runs")
    job.do(c.OpenInspection("handover"))
    assert job.at == "handover.way"
