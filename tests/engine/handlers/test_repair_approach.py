"""Where a repair is reached otherwise than usual, its hands wait for what that way needs.

Common practice: a machine is tilted by two, its sump empty and nothing on top, and propped before hands go under it.
"""

from __future__ import annotations

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
    job.answer("broken")
    while job.state.run is not None:
        job.answer()
    job.do(c.Pause())
    job.do(c.Confirm(("dampers-worn",)))
    return job


def asked_for_the_repair(job) -> list[str]:
    job.do(c.Prepare("dampers-worn"))
    return job.asked()


def test_from_below_it_is_tilted_by_two_and_propped_first():
    job = confirmed("below")
    assert repair_ref(job.view, "dampers-worn") == RepairRef("dampers-worn", "below")
    assert repair_reach(job.view, flow().faults["dampers-worn"]) == "under"
    asked_for_the_repair(job)
    known = {"weight": "propped", "second": "here", "sump": "empty", "dead": "proved", "charge": "bled"}
    assert {name: job.believed(name) for name in known} == {name: {value} for name, value in known.items()}


def test_lowered_in_between_it_is_tilted_again():
    job = confirmed("below")
    asked_for_the_repair(job)
    job.do(c.Prepare(""))
    job.come_to("no-spin")
    while job.believed("weight") != {"standing"}:
        job.answer()
    job.do(c.Leave())
    fitted = c.RecordRepair("dampers-worn", RepairOutcome.FITTED)
    assert job.refused(fitted) is RefusalReason.NEEDS
    assert "stand.tilt" in asked_for_the_repair(job) and job.believed("weight") == {"propped"}


def test_through_a_panel_nobody_tilts_anything():
    job = confirmed("panel")
    assert repair_ref(job.view, "dampers-worn") == RepairRef("dampers-worn")
    asked = asked_for_the_repair(job)
    assert not {"stand.tilt", "sump.empty", "second.here"} & set(asked)


def test_an_approach_needs_its_reach_and_all_that_the_usual_way_needs() -> None:
    remedy = flow().faults["dampers-worn"].remedy
    (below,) = remedy.approaches
    usual, needs = remedy_needs(flow(), remedy), remedy_needs(flow(), remedy, below)
    assert needs["weight"] == {"propped"} != usual["weight"] and needs["dead"] == {"proved"}
    assert all(needs[condition] <= values for condition, values in usual.items())


def test_its_name_is_written_and_read():
    for ref in (RepairRef("dampers-worn"), RepairRef("dampers-worn", "below")):
        assert RepairRef.parse(str(ref)) == ref
