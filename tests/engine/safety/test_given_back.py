"""Power and taps are as the owner was told when the visit ends, whatever came between the telling and the end.

Common practice: who unplugs a machine again after the customer was told that it is on, plugs it in again or says so.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.engine.safety.test_held_tub import answered_to
from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c


def told(power: str = "on") -> Job:
    """The handover, its power back or left off; the customer is told of it next."""
    job = shake(motor="brushed")
    job.do(c.OpenInspection("handover"))
    answered_to(job, "handover.way")
    job.answer("in-use")
    answered_to(job, "handover.taps")
    job.answer("stay")
    answered_to(job, "handover.power")
    job.answer(power)
    answered_to(job, "handover.shown")
    return job


@pytest.mark.parametrize(("power", "supply"), [("on", "live"), ("off", "left")])
def test_the_power_is_as_it_was_said(power, supply):
    job = told(power)
    assert job.believed("supply") == {supply} and job.believed("given-back") == {"yes"}
    job.answer("yes")
    assert job.at == "handover.in-use"


def test_after_a_break_the_plug_that_was_pulled_again_is_given_back_and_the_owner_told():
    job = told()
    job.do(c.Pause())
    answered_to(job, "handover.shown")
    job.answer("yes")
    asked = answered_to(job, "handover.in-use")
    assert "power.plug" in asked and asked.index("leaving.power") > asked.index("power.plug")
    assert job.believed("supply") == {"live"} and job.believed("told") == {"yes"}


def test_work_between_is_told_anew():
    job = told()
    job.answer("yes")
    job.do(c.OpenInspection("spider"))
    answered_to(job, "spider.angles")
    assert "no" in job.believed("told") & job.believed("given-back")
    job.do(c.OpenInspection("handover", "in-use"))
    asked = answered_to(job, "handover.in-use")
    assert asked[-1] == "leaving.tell" and "leaving.power" in asked
