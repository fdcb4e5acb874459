"""What the job puts into the drum is out before an empty spin and before its owner has the machine back, or stands on
the paper; a dial that was set in it is counted before power.

Common practice: what is forgotten in a drum is spun by whoever starts it next; a tool there is thrown.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.engine.safety.test_held_tub import answered_to
from tests.helpers.jobs import Job
from wizard.documents.content.conditions_left import owners_lines
from wizard.engine.messages import commands as c


def with_the_bag(answer: str = "in") -> Job:
    """A front loader with the soft bag put in, or not: the spin is asked next."""
    job = shake(motor="brushed")
    job.do(c.OpenInspection("known-bag"))
    answered_to(job, "known-bag.put-in")
    job.answer(answer)
    return job


def test_a_bag_in_the_drum_is_believed_as_soon_as_it_was_to_be_put_in():
    job = shake(motor="brushed")
    job.do(c.OpenInspection("known-bag"))
    answered_to(job, "known-bag.put-in")
    assert "test" in job.believed("in-drum")
    job.answer("in")
    assert job.believed("in-drum") == {"test"}
    assert any("bag" in line.words for line in owners_lines(job.view))


def test_a_bag_left_out_is_nothing_to_take_out():
    assert with_the_bag("left-out").believed("in-drum") == {"empty"}


@pytest.mark.parametrize("inspection", ["baseline", "record-spin", "proving-spin"])
def test_before_an_empty_spin_the_bag_comes_out(inspection):
    job = with_the_bag()
    job.do(c.OpenInspection(inspection))
    asked = []
    while job.state.run is not None and job.at not in (
        "baseline.set-up",
        "record-spin.place",
        "proving-spin.set-up",
    ):
        asked.append(job.at)
        job.answer(*(["motion"] if job.at == "record-spin.phone" else []))
        assert len(asked) < 80
    assert "in-drum.out" in asked
    assert job.believed("in-drum") == {"empty"}


def test_the_owner_has_the_machine_back_empty_with_power_and_taps_asked_after():
    job = with_the_bag()
    job.do(c.OpenInspection("handover"))
    asked = answered_to(job, "handover.taps")
    assert "in-drum.out" in asked and job.believed("in-drum") == {"empty"}
    job.answer("stay")
    rest = answered_to(job, "handover.in-use")
    assert "in-drum.out" not in rest


def test_what_does_not_come_out_keeps_it_out_of_use_and_stands_on_the_paper():
    job = with_the_bag()
    job.do(c.OpenInspection("handover"))
    answered_to(job, "handover.way")
    job.answer("out-of-use")
    asked = answered_to(job, "in-drum.out")
    assert "handover.taps" not in asked
    job.answer("left")
    answered_to(job, "handover.out-of-use")
    assert any("take them out before washing" in line.words for line in owners_lines(job.view))


def test_a_break_does_not_take_the_bag_out():
    job = with_the_bag()
    job.do(c.Leave())
    job.do(c.Pause())
    job.do(c.OpenInspection("handover"))
    assert job.believed("in-drum") == {"test"}
    assert "in-drum.out" in answered_to(job, "handover.taps")


def test_a_dial_set_in_the_drum_is_counted_before_power():
    job = shake(motor="brushed")
    job.do(c.OpenInspection("baseline"))
    answered_to(job, "baseline.strike")
    assert job.believed("tools") == {"out"}
    job.do(c.OpenInspection("spider"))
    answered_to(job, "spider.angles")
    assert job.believed("tools") == {"out", "in"}
    job.answer()
    job.do(c.OpenInspection("baseline"))
    assert "closing.count" in answered_to(job, "baseline.strike")


def test_a_bag_is_put_in_only_once_the_load_was_looked_at():
    """Else the look, on the way to power, takes the bag out again and the spin tells of an empty drum."""
    job = shake(motor="brushed")
    job.do(c.OpenInspection("known-bag"))
    answered_to(job, "known-bag.put-in")
    assert job.believed("load") == {"sound"}
    job.answer("in")
    assert "no-spin.load" not in answered_to(job, "known-bag.spin")
    assert "test" in job.believed("in-drum")
