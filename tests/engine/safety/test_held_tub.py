"""What holds a tub up while it is worked at comes out before it spins, or stands on the paper and is told who comes.

Common practice: a tub on blocks or strapped to a batten strikes them in a spin, and a tub is looked at once it hangs by
itself again.
"""

from __future__ import annotations

import re
from functools import cache

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.helpers.jobs import Job
from wizard.documents.content.conditions_left import owners_lines
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import badge
from wizard.engine.safety.flow_rules import LEFT_IN_USE
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model.acts import step_needs

BY_HAND = re.compile(r"\b(block|blocks|batten|support the tub|wedge|wedged|prop it|props|tie|strap)\b")
"""What hands are told where something holds up, wedges, props or ties."""


def measured_springs() -> Job:
    """A front loader on blocks, its springs measured and hooked on again; what holds it up is asked for now."""
    job = shake(motor="brushed")
    job.do(c.OpenInspection("springs", "lengths"))
    while job.at != "springs.lengths":
        job.answer()
    job.answer()
    while job.at != "springs.refit":
        job.answer()
    job.answer("yes")
    return job


def answered_to(job: Job, where: str, most: int = 80) -> list[str]:
    """What is asked until a step is on screen, answered the usual way."""
    asked = []
    while job.at != where and job.state.run is not None and len(asked) < most:
        asked.append(job.at)
        job.answer()
    assert job.at == where
    return asked


def test_springs_that_are_on_again_say_nothing_of_the_blocks():
    job = measured_springs()
    assert job.at == "springs.free" and "in" in job.believed("support")
    assert job.believed("parts") == {"on"} and "unsound" in job.believed("hang")


def test_a_tub_left_on_blocks_is_let_down_before_a_spin_and_looked_at_again():
    job = measured_springs()
    job.answer("no")
    assert job.believed("support") == {"in"} and "TUB BLOCKED" in badge(job.view).words
    job.do(c.OpenInspection("baseline"))
    asked = answered_to(job, "baseline.strike")
    assert asked.index("support.out") < asked.index("hangs.look") < asked.index("power.plug-in")
    assert job.believed("support") == {"out"} and job.believed("hang") == {"sound"}


def test_who_answers_at_once_is_asked_nothing_more_of_the_blocks():
    job = measured_springs()
    job.answer("yes")
    job.do(c.OpenInspection("baseline"))
    asked = answered_to(job, "baseline.strike")
    assert not {a for a in asked if a.startswith("support.")} and "hangs.look" in asked


@pytest.mark.parametrize("how", ["in", "begun"])
def test_another_person_is_told_and_the_paper_says_it(how):
    job = shake(motor="brushed")
    job.do(c.OpenInspection("springs", "lengths"))
    while job.at != "springs.lengths":
        job.answer()
    if how == "in":
        job.answer()
    job.do(c.TakeOver("N. Orr"))
    line = next(line for line in owners_lines(job.view) if "Support of the tub" in line.says)
    assert "blocks, foam or a strap hold it" in line.words
    answered_to(job, "round-front.seen") if job.state.run is not None else None
    if job.at != "round-front.seen":
        job.do(c.OpenInspection("baseline"))
        answered_to(job, "round-front.seen")
    run, step = job.step()
    ticks = tuple(i for i in job.usual(step) if i != "support")
    job.do(c.GiveAnswer(run.id, step.id, ticks, "So I see it."))
    job.do(c.OpenInspection("baseline"))
    asked = answered_to(job, "baseline.strike")
    assert "support.out" in asked


def test_dampers_and_pads_owe_what_held_the_tub_up():
    job = shake(motor="brushed")
    job.do(c.OpenInspection("dampers", "stroke"))
    answered_to(job, "dampers.stroke")
    job.answer()
    assert job.believed("support") == {"in"}
    answered_to(job, "dampers.free")
    job.answer("no")
    job.do(c.OpenInspection("baseline"))
    assert "support.out" in answered_to(job, "baseline.strike")
    job = shake(kind="top-base", motor="brushed")
    job.do(c.OpenInspection("pads", "thickness"))
    answered_to(job, "pads.thickness")
    job.answer()
    assert "in" in job.believed("support") and job.at == "pads.set-down"
    job.answer("no")
    job.do(c.OpenInspection("baseline"))
    asked = answered_to(job, "baseline.strike")
    assert asked.index("support-base.out") < asked.index("closing-cabinet.on") < asked.index("power.plug-in")


@cache
def flow(name: str):
    return load(shipped()[name])


PUT_IN = {
    "tub", "support", "wedge", "weight", "dryer", "top",
}  # fmt: skip
"""The conditions that owe what hands set under, tied, wedged or strapped."""


@pytest.mark.parametrize("name", ["washer-shake", "washer-no-drain"])
def test_whoever_is_told_to_block_tie_wedge_or_strap_is_owed_the_taking_out(name):
    """Each step of which the words put something in says so in what it may change, but where nothing of the machine is
    held by it.
    """
    told = [
        f"{inspection.id}.{step.id}"
        for inspection in flow(name).inspections.values()
        for step in inspection.steps
        if BY_HAND.search(step.do.lower()) and not PUT_IN & {*step.may, *step_needs(flow(name), step)}
    ]
    assert set(told) <= {"panels.wedge", "no-spin.transit", "hangs.look", "support-base.known"}


def test_what_forbids_use_and_is_put_back_by_hand_is_worded_for_the_owner():
    """A condition that a spin needs and a step puts back by hand says to the owner how it was left."""
    one = flow("washer-shake")
    row = one.reaches[LEFT_IN_USE].needs
    assert all(
        one.conditions[c].handover
        for c in ("tub", "support", "wedge", "weight", "dryer", "filter")
        if c in row
    )
