"""What stands in the search and among the proofs is asked once: at the latest before the job is closed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.engine.jobs import Job, good
from tests.proof.edits import edited
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.flow.case_files import load_cases
from wizard.flow.load import load
from wizard.flow.model import Flow
from wizard.flow.shipped import folder_of
from wizard.proof.play import play


@pytest.fixture
def both() -> Flow:
    """The look at the motor is part of the search, and must have been made before the job is closed."""
    return edited(good(), prove=("motor", *good().prove))


def decided(flow: Flow, *found: str) -> Job:
    """A job with the dampers found worn and decided on, and these looked at besides."""
    job = Job(flow=flow)
    job.through("quick")
    job.through("dampers", "swings")
    for inspection in found:
        job.through(inspection)
    job.do(c.Confirm(("dampers-worn",)))
    return job


def asked(job: Job) -> list[str]:
    """What the flow goes on with, from the decision to the close."""
    order = []
    while (coming := derive.next_up(job.flow, job.state)).kind != "close":
        order.append(coming.target)
        job.follow(coming)
    return order


def test_left_open_in_the_search_it_comes_before_the_proofs(both: Flow) -> None:
    """After the repair and its measuring it is asked, as part of the search, and then the job is proved."""
    job = decided(both)
    assert asked(job)[:4] == ["dampers-worn", "dampers.pull", "motor", "hoses"]
    assert [r.phase for r in job.state.runs if r.inspection == "motor"] == ["before"]
    job.do(c.Close())
    assert job.state.outcome == "proved"


def test_looked_at_in_the_search_it_does_not_come_again(both: Flow) -> None:
    """Though a repair was made since: it proves nothing of that."""
    job = decided(both, "motor")
    assert "motor" not in asked(job)
    job.do(c.Close())
    assert job.state.outcome == "proved"


def test_without_it_nothing_is_proved(both: Flow) -> None:
    """Passed over with a reason, the job ends as not proved; in the search alone, it may be passed over."""
    for flow, outcome in ((both, "not-proved"), (good(), "proved")):
        job = decided(flow)
        job.do(c.Skip("motor", "No time."))
        asked(job)
        job.do(c.Close())
        assert job.state.outcome == outcome


def test_the_hoses_of_a_washer_that_shakes_are_looked_at_before_its_job_is_closed() -> None:
    """Decided as soon as the dampers were measured: the hoses, the last of the search, come before closing up."""
    flow = load(folder_of("washer-shake"))
    case = next(c for c in load_cases(folder_of("washer-shake"), flow) if c.id == "dampers-worn")
    early = play(flow, replace(case, order=("arrival", "no-spin", "quick", "dampers")))
    places = [passed.step.partition(".")[0] for passed in early.path]
    assert early.problems == () and early.outcome == "proved"
    assert places.index("dampers") < places.index("hoses-look") < places.index("close")
    usual = [passed.step for passed in play(flow, case).path]
    assert usual.count("hoses-look.gap") == 1
