"""A machine that dries as well is hot behind a cool door: half an hour from power off before a hand goes in.

Common practice: makers' sheets of washer-dryers let the machine cool for half an hour before it is opened.
"""

from __future__ import annotations

import pytest

from tests.engine.handlers.test_waits_between_answers import flow_of
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState, RefusalReason
from wizard.engine.audit import audit
from wizard.engine.messages import commands as c
from wizard.engine.safety.flow_rules import Rules

FLOWS = {"washer-shake": "bounce", "washer-no-drain": "pump"}
"""Of each flow an inspection with hands in the machine."""

HALF_AN_HOUR = 30 * 60.0


def begun(name: str, dries: str) -> Job:
    """A job that is at the first step for such an inspection."""
    flow = flow_of(name)
    job = Job({f.id: f.usual for f in flow.facts} | {"serial": "X1", "dries": dries}, flow)
    job.do(c.OpenInspection(FLOWS[name]))
    return job


def on_to(job: Job, where: str) -> list[str]:
    """Answer as usual until ``where`` or the first step that is of no procedure; the steps on the way."""
    asked: list[str] = []
    for _ in range(60):
        run = job.state.run
        if run is None or not run.only or job.at == where:
            break
        asked.append(job.at)
        if where:
            job.clock.move(min(job.session.wait_left(), 300.0))
        else:
            job.clock.move(job.session.wait_left())
        job.answer()
    return asked


@pytest.mark.parametrize("name", FLOWS)
def test_a_door_that_is_cool_at_once_says_nothing_of_the_heater(name: str) -> None:
    """'Nothing happens, door cool' as the plug is tried: half an hour from power off is waited all the same."""
    job = begun(name, "yes")
    assert "power.try" in on_to(job, "cooling.cooled")
    off = job.state.belief["supply"].clock
    run, step = job.step()
    assert job.refused(c.GiveAnswer(run.id, step.id, ("cool",))) is RefusalReason.EARLY
    left = job.session.wait_left()
    assert left > 20 * 60.0
    job.clock.move(left)
    job.answer()
    assert job.state.clock - off >= HALF_AN_HOUR
    on_to(job, "")
    assert job.believed("cooled") == {"yes"} and job.believed("heat") == {"cool"}
    assert audit(Rules.of(job.flow), job.records) == ()


@pytest.mark.parametrize("name", FLOWS)
def test_one_that_only_washes_is_not_waited_for(name: str) -> None:
    """It is felt as the plug is tried."""
    job = begun(name, "no")
    assert not any(at.startswith("cooling") for at in on_to(job, ""))
    assert job.believed("heat") == {"cool"}


@pytest.mark.parametrize("name", FLOWS)
def test_no_hand_goes_in_before_on_any_reach(name: str) -> None:
    """Every step and repair that wants it cool wants the half hour too."""
    flow = flow_of(name)
    model = Rules.of(flow).model({f.id: f.usual for f in flow.facts} | {"dries": "yes"})
    wanting = [act for act in model.acts.values() if "heat" in act.needs]
    assert len(wanting) > 10
    assert all(act.needs["cooled"] == {"yes"} for act in wanting)


def test_what_is_hot_still_is_felt_again_after_ten_minutes_and_then_stops_work() -> None:
    """Three times more, each after its wait; then nobody goes on."""
    job = begun("washer-shake", "yes")
    on_to(job, "cooling.cooled")
    job.clock.move(job.session.wait_left())
    for _ in range(3):
        job.answer("hot")
        assert job.at == "cooling.cooled" and job.session.wait_left() == pytest.approx(600.0, abs=20)
        job.clock.move(job.session.wait_left())
    job.answer("hot")
    assert job.state.job is JobState.STOPPED and job.state.stops[-1].stop == "not-settled"


def test_after_a_break_it_is_waited_for_anew() -> None:
    """Whoever was here alone may have dried in it."""
    job = begun("washer-shake", "yes")
    on_to(job, "cooling.cooled")
    job.clock.move(job.session.wait_left())
    job.answer()
    assert job.believed("cooled") == {"yes"}
    job.do(c.Pause())
    assert job.believed("cooled") == {"yes", "no"}
