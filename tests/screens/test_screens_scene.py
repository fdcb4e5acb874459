"""Which scene a state asks for, without a screen."""

import pytest
from jobs import HandClock, Job, good

from wizard.engine import commands as c
from wizard.engine.session import Session
from wizard.engine.state import State
from wizard.screens.registry import PANELS, SCREENS, find
from wizard.screens.scene import Place, Scene, scene


def of(job, place=Place()):  # noqa: B008
    return scene(job.flow, job.state, place)


def test_asks_the_facts_first_then_the_complaint():
    """A new job is asked what machine it is, in the flow's order, then what the customer says."""
    session = Session.begin(good(), "2026-03-02-a", lambda r: None, HandClock())
    seen = []
    for value in ("front-loader", "3", "no", ""):
        seen.append(scene(session.flow, session.state).target)
        session.do(c.SetFact(seen[-1], value))
    assert seen == ["kind", "dampers", "stacked", "serial"]
    assert scene(session.flow, session.state) == Scene("complaint")


def test_is_at_the_map_with_no_inspection_open_unless_a_key_led_elsewhere():
    """The place counts only while nothing is open."""
    job = Job()
    assert of(job) == Scene("map")
    assert of(job, Place("decision")) == Scene("decision")
    assert of(job, Place("mending", "dampers-worn")) == Scene("mending", "dampers-worn")
    job.do(c.Open("quick"))
    assert of(job, Place("decision")) == Scene("question")


def test_a_fact_asked_again_stands_before_all_else():
    """Going back at the door shows that fact; one that the flow doesn't ask does not."""
    job = Job()
    assert of(job, Place("fact", "dampers")) == Scene("fact", "dampers")
    job.do(c.Open("quick"))
    assert of(job, Place("fact", "no-such")) == Scene("question")


def test_shows_each_kind_of_step_on_its_own_screen():
    """Choose is a question, measure a reading, compute a computed value."""
    job = Job()
    job.do(c.Open("dampers"))
    seen = []
    while job.state.run:
        seen.append(of(job).kind)
        job.answer()
    assert seen[:4] == ["question"] * 4
    assert seen[4:] == ["question", "reading", "computed", "question"]


def at_dampers():
    """A job at the first step of the dampers, isolated."""
    job = Job()
    job.do(c.Open("dampers"))
    while job.at != "dampers.bounce":
        job.answer()
    return job


@pytest.mark.parametrize("end", ["pause", "restart", "lapse"])
def test_a_gate_that_ended_shows_the_lapse_before_the_step(end):
    """Whatever ends the safety state, the open step is not shown as if it could be answered."""
    job = at_dampers()
    assert of(job).kind == "question"
    if end == "pause":
        job.do(c.Pause())
    elif end == "lapse":
        job.clock.move(3600)
        assert job.session.touch()
    else:
        job.session = Session.resume(job.flow, tuple(job.records), job.records.append, job.clock)
    assert of(job) == Scene("lapsed")


def test_a_stopped_and_a_closed_job_have_their_own_scenes():
    """Stopping shows how to make it safe, closing shows the end."""
    job = Job()
    job.do(c.StopWork("hot-plug"))
    assert of(job, Place("decision")) == Scene("stopped")
    for line in range(3):
        job.do(c.MakeSafe(line))
    job.do(c.Close())
    assert of(job) == Scene("closed")


def test_every_scene_and_panel_has_a_screen_that_can_be_imported():
    """The two tables name classes that exist."""
    for where in (*SCREENS.values(), *PANELS.values()):
        assert isinstance(find(where), type)


def test_an_empty_state_is_asked_its_first_fact():
    """Nothing known: the first fact."""
    assert scene(good(), State()) == Scene("fact", "kind")
