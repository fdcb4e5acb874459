"""A door that is locked comes before whatever is behind it: water let out, the lock's time waited, and never forced.

Common practice: a lock holds while water stands behind the door, and one to three minutes after power went off.
"""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RefusalReason
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model.acts import step_needs

QUICK = ("quick.load", "quick.water", "hangs.look")
LOOKED = ("no-spin.door", "no-spin.load", "no-spin.drum", "no-spin.hang", "before-spin.seen")
WORKED = (
    "drum.wedge",
    "drum.unwedge",
    "tub.tie",
    "object.look",
    "ring-top.look",
    "bounce.swings",
    "spider.feel",
)
INTO_THE_DRUM = (*QUICK, *LOOKED, *WORKED)


@pytest.mark.parametrize("name", INTO_THE_DRUM)
def test_hands_and_eyes_go_into_no_drum_before_its_door_was_seen_to_open(name):
    flow = load(shipped()["washer-shake"])
    inspection, step = name.split(".")
    assert step_needs(flow, flow.inspections[inspection].step(step))["lock"] == {"free"}


def at_the_door(answer: str) -> Job:
    """Quick checks opened, all answered the usual way until the door, which is answered so."""
    flow = load(shipped()["washer-shake"])
    job = Job({fact.id: fact.usual or "-" for fact in flow.facts}, flow=flow)
    job.do(c.OpenInspection("quick"))
    while job.at != "door.opens":
        assert job.state.run.only, job.at
        job.answer()
    job.answer(answer)
    return job


def test_an_open_door_is_asked_about_once():
    job = at_the_door("free")
    assert job.at == "quick.load"
    job.answer()
    assert job.at == "quick.water"


@pytest.mark.parametrize("answer", ["locked", "water"])
def test_what_stands_behind_it_is_let_out_before_its_release_is_pulled(answer):
    job = at_the_door(answer)
    asked = []
    while job.at != "door.release":
        asked.append(job.at)
        job.answer()
    assert "sump.empty" in asked and not set(asked) & set(INTO_THE_DRUM)
    job.answer("open")
    assert job.at == "quick.load"


def test_the_lock_gets_its_three_minutes():
    job = at_the_door("locked")
    while job.at != "door.release":
        job.answer()
    run, step = job.step()
    assert step.wait is not None and step.wait.minutes == (3.0,)
    assert 0 < job.session.wait_left() < 180.0, "since power went off"
    assert job.refused(c.GiveAnswer(run.id, step.id, "open")) is RefusalReason.EARLY
    job.answer("open")
    assert job.at == "quick.load"


def test_a_lock_that_stays_shut_stops_work():
    job = at_the_door("locked")
    while job.at != "door.release":
        job.answer()
    job.answer("locked")
    assert [stop.stop for stop in job.state.stops] == ["door-locked"]


def test_who_ran_it_does_not_know_the_lock_any_more():
    """Power brings the lock on, and nobody knows of it after."""
    job = at_the_door("free")
    assert job.state.belief["lock"].values == {"free"}
    job.do(c.Pause())
    assert "shut" in job.state.belief["lock"].values
