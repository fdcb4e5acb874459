"""Which scene a state asks for, without a screen."""

import pytest

from tests.helpers.stage import HandClock, Job, good
from wizard.engine.messages import commands as c
from wizard.engine.session import Session
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.screens.launch.screen_registry import PANELS, SCREENS, find
from wizard.screens.layout.navigation import MapPlace, Scene, scene
from wizard.screens.layout.scene_kind import SceneKind


def of(job, place=MapPlace()):  # noqa: B008
    return scene(job.view, place)


def test_asks_for_danger_then_the_facts_then_the_complaint():
    """A new job is asked what forbids touching, what machine it is, in the flow's order, then the complaint."""
    session = Session.begin(good(), "2026-03-02-a", lambda r: None, HandClock())
    assert scene(session.view).kind == "question" and session.state.run.at == "danger"
    session.do(c.GiveAnswer(session.state.run.id, "danger", ("clear",)))
    seen = []
    for value in ("front-loader", "3", "no", ""):
        seen.append(scene(session.view).target)
        session.do(c.SetFact(seen[-1], value))
    assert seen == ["kind", "dampers", "stacked", "serial"]
    assert scene(session.view) == Scene(SceneKind.COMPLAINT)


def test_is_at_the_map_with_no_inspection_open_unless_a_key_led_elsewhere():
    """The place counts only while nothing is open."""
    job = Job()
    assert of(job) == Scene(SceneKind.MAP)
    assert of(job, MapPlace(SceneKind.DECISION)) == Scene(SceneKind.DECISION)
    assert of(job, MapPlace(SceneKind.REPAIR, "dampers-worn")) == Scene(SceneKind.REPAIR, "dampers-worn")
    job.do(c.OpenInspection("quick"))
    assert of(job, MapPlace(SceneKind.DECISION)) == Scene(SceneKind.QUESTION)


def test_a_fact_asked_again_stands_before_all_else():
    """Going back at the door shows that fact; one that the flow doesn't ask does not."""
    job = Job()
    assert of(job, MapPlace(SceneKind.FACT, "dampers")) == Scene(SceneKind.FACT, "dampers")
    job.do(c.OpenInspection("quick"))
    assert of(job, MapPlace(SceneKind.FACT, "no-such")) == Scene(SceneKind.QUESTION)


def test_shows_each_kind_of_step_on_its_own_screen():
    """Choose is a question, measure a reading, compute a computed value; what is asked first is on its own too."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    asked, seen = [], []
    while job.state.run:
        (asked if job.state.run.only else seen).append(of(job).kind)
        job.answer()
    assert asked and set(asked) == {"question"}
    assert seen == ["question", "reading", "computed", "question"]


def at_dampers():
    """A job at the first step of the dampers, made ready."""
    job = Job()
    job.come_to("dampers", "bounce")
    return job


@pytest.mark.parametrize("end", ["pause", "restart", "lapse"])
def test_whatever_makes_less_known_something_is_asked_before_the_step(end):
    """The open step is not shown as if it could be answered: what it needs is on screen in its place."""
    job = at_dampers()
    assert of(job).kind == "question" and job.at == "dampers.bounce"
    if end == "pause":
        job.do(c.Pause())
    elif end == "lapse":
        job.clock.move(3600)
        assert job.session.touch()
    else:
        job.restart()
    assert of(job) == Scene(SceneKind.QUESTION) and job.state.run.only
    job.asked()
    assert job.at == "dampers.bounce"


def test_a_repair_that_is_made_ready_shows_what_it_needs_and_then_itself():
    """What its remedy needs is asked on the screens of its steps; then the repair stands there."""
    job = Job()
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.Prepare("dampers-worn"))
    assert of(job).kind == "question" and job.state.run.only
    job.asked()
    assert of(job) == Scene(SceneKind.REPAIR, "dampers-worn")


def test_a_stopped_and_a_closed_job_have_their_own_scenes():
    """Stopping shows how to make it safe, closing shows the end."""
    job = Job()
    job.do(c.StopWork("scorched"))
    assert of(job, MapPlace(SceneKind.DECISION)) == Scene(SceneKind.STOPPED)
    for line in range(len(job.flow.stops["scorched"].make_safe)):
        job.do(c.MakeSafe("scorched", line))
    job.do(c.Close())
    assert of(job) == Scene(SceneKind.CLOSED)


def test_every_scene_and_panel_has_a_screen_that_can_be_imported():
    """The two tables name classes that exist."""
    for where in (*SCREENS.values(), *PANELS.values()):
        assert isinstance(find(where), type)


def test_an_empty_state_is_asked_its_first_fact():
    """Nothing known: the first fact."""
    assert scene(JobView.of(good(), State())) == Scene(SceneKind.FACT, "kind")
