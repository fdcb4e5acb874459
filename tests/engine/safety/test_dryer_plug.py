"""The plug of a stacked dryer that was pulled for the work is owed: put back, or its owner knows and the paper says it.

Common practice: what a technician unplugs is plugged in again before he goes, or its owner is told.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.engine.safety.test_held_tub import answered_to
from tests.helpers.jobs import Job
from wizard.documents.content.conditions_left import owners_lines
from wizard.domain.vocabulary import RefusalReason
from wizard.engine.messages import commands as c

PLUG = "Plug of the dryer on top"


def pulled() -> Job:
    """The dryer is down on the floor, its plug in the bag, hands at the feet of the washer."""
    job = shake(stack="electric", motor="brushed")
    job.do(c.Confirm((), "none"))
    job.do(c.OpenInspection("foot-nuts", "new-feet"))
    answered_to(job, "foot-nuts.new-feet")
    assert job.believed("dryer-plug") == {"out"} and job.believed("dryer") == {"down"}
    while job.state.run is not None:
        job.answer()
    return job


def said(job: Job) -> str:
    """What the owner's paper says of the plug; empty where it says nothing."""
    return next((line.words for line in owners_lines(job.view) if PLUG in line.says), "")


def test_a_machine_is_not_left_in_use_before_the_dryers_plug_is_in():
    job = pulled()
    assert "pulled for the work" in said(job)
    job.do(c.OpenInspection("handover"))
    asked = answered_to(job, "handover.in-use")
    assert "power-dryer.back" in asked[asked.index("handover.shown") :]
    assert job.believed("dryer-plug") == {"in"} and said(job) == ""


@pytest.mark.parametrize("way", ["left", "out-of-use"])
def test_what_stays_out_is_on_the_owners_paper(way):
    job = pulled()
    job.do(c.OpenInspection("handover"))
    if way == "left":
        answered_to(job, "power-dryer.back")
        job.answer("left")
        assert said(job).startswith("out: put it in")
    else:
        job.answer("out-of-use")
        answered_to(job, "handover.out-of-use")
        assert "pulled for the work" in said(job)


def test_another_person_finds_it_on_the_paper():
    job = pulled()
    job.do(c.TakeOver("N. Orr"))
    assert "pulled for the work" in said(job)


def test_a_dryer_whose_plug_is_out_is_not_said_never_to_have_been_there():
    job = pulled()
    assert job.refused(c.SetFact("stack", "none", "it stands on the floor now")) is RefusalReason.BARRED
    job.do(c.OpenInspection("handover"))
    answered_to(job, "handover.in-use")
    job.do(c.SetFact("stack", "none", "it stands on the floor now"))
    assert job.state.facts["stack"] == "none"


def test_where_no_plug_was_pulled_the_fact_is_put_right_at_once():
    job = shake(stack="electric", motor="brushed")
    job.do(c.SetFact("stack", "none", "misread"))
    assert job.state.facts["stack"] == "none"
