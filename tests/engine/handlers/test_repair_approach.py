"""Where a repair is reached otherwise than usual, its hands wait for what that way needs.

Common practice: an edge of a machine is raised by one with a lever, and past its angle it is tilted by two; its sump is
empty, nothing is on top, and it is on blocks or propped before hands go under it.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import flow, shake
from wizard.domain.references import RepairRef
from wizard.domain.vocabulary import RefusalReason, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.state.repair_approach import repair_reach, repair_ref
from wizard.flow.model.acts import remedy_needs


def confirmed(way: str, **facts: str):
    """Dampers found broken, reached this way, and confirmed; then a break, with the machine on its feet."""
    job = shake(**facts)
    job.come_to("dampers", "way")
    job.answer(way)
    job.asked()
    if way == "further":
        job.answer("yes")
        job.asked()
    job.answer("broken")
    while job.state.run is not None:
        job.answer()
    job.do(c.Pause())
    job.do(c.Confirm(("dampers-worn",)))
    return job


def asked_for_the_repair(job) -> list[str]:
    job.do(c.Prepare("dampers-worn"))
    return job.asked()


@pytest.mark.parametrize(
    ("way", "weight", "reach"), [("below", "blocked", "under"), ("further", "propped", "under-propped")]
)
def test_from_below_it_is_held_by_blocks_or_props_first(way, weight, reach):
    job = confirmed(way)
    assert repair_ref(job.view, "dampers-worn") == RepairRef("dampers-worn", way)
    assert repair_reach(job.view, flow().faults["dampers-worn"]) == reach
    asked_for_the_repair(job)
    known = {"weight": weight, "sump": "empty", "dead": "proved", "charge": "bled"}
    assert {name: job.believed(name) for name in known} == {name: {value} for name, value in known.items()}


def test_who_works_alone_gets_under_it_and_is_asked_for_nobody_else():
    """Raised within its angle, the dampers seen, the repair made ready, let down again: no second person anywhere."""
    job = confirmed("below")
    asked_for_the_repair(job)
    asked = [record.step for record in job.state.answer_records]
    assert "raise" in asked and not {"here", "tilt", "lower"} & set(asked)
    job.do(c.Prepare(""))
    job.do(c.OpenInspection("no-spin"))
    assert "second.here" not in job.asked() and job.believed("second") == {"here", "away"}


def test_past_its_angle_two_are_asked_for():
    job = confirmed("further")
    asked = {record.step for record in job.state.answer_records}
    assert {"here", "tilt"} <= asked and "raise" not in asked


def test_lowered_in_between_it_is_raised_again():
    job = confirmed("below")
    asked_for_the_repair(job)
    job.do(c.Prepare(""))
    job.come_to("no-spin")
    while job.believed("weight") != {"standing"}:
        job.answer()
    job.do(c.Leave())
    fitted = c.RecordRepair("dampers-worn", RepairOutcome.FITTED)
    assert job.refused(fitted) is RefusalReason.NEEDS
    assert "stand.raise" in asked_for_the_repair(job) and job.believed("weight") == {"blocked"}


def test_through_a_panel_nobody_tilts_anything():
    job = confirmed("panel")
    assert repair_ref(job.view, "dampers-worn") == RepairRef("dampers-worn")
    asked = asked_for_the_repair(job)
    assert not {"stand.raise", "stand.tilt", "sump.empty", "second.here"} & set(asked)


def test_an_approach_needs_its_reach_and_all_that_the_usual_way_needs() -> None:
    remedy = flow().faults["dampers-worn"].remedy
    below, further = remedy.approaches
    assert remedy_needs(flow(), remedy, further)["weight"] == {"propped"}
    usual, needs = remedy_needs(flow(), remedy), remedy_needs(flow(), remedy, below)
    assert needs["weight"] == {"blocked", "propped"} != usual["weight"] and needs["dead"] == {"proved"}
    assert all(needs[condition] <= values for condition, values in usual.items())


def test_its_name_is_written_and_read():
    for ref in (RepairRef("dampers-worn"), RepairRef("dampers-worn", "below")):
        assert RepairRef.parse(str(ref)) == ref
