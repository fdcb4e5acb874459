"""Voltage where it was proved that there is none stops work: 29 CFR 1910.333(b)(2) has what was tested dead be dead;
EN 50110-1: work stops where its conditions are no longer met (from memory).
"""

from __future__ import annotations

from tests.engine.safety.test_hands_beside_danger import shake
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Answered
from wizard.engine.queries.stopping_answers import stops_work


def proved() -> Job:
    """A job with hands at the motor of a direct drive: tried, the bus bled, all proved dead."""
    job = shake(drive="direct")
    job.do(c.OpenInspection("bearings-direct"))
    while job.at != "bearings-direct.streak":
        job.answer()
    job.answer("streak")
    job.do(c.Leave())
    assert job.believed("charge") == {"bled"} and job.believed("dead") == {"proved"}
    return job


def still_live(job: Job) -> None:
    """320 V on the bus, as it is typed."""
    run, step = job.step()
    job.clock.move(job.session.wait_left())
    job.read(320)
    if job.state.run is not None and job.state.job is JobState.WORKING and job.state.run.id == run.id:
        job.do(c.Judge(run.id, step.id))


def at(job: Job, inspection: str, step: str) -> None:
    job.do(c.OpenInspection(inspection, step))
    while job.at != f"{inspection}.{step}":
        job.answer()
    job.clock.move(700)
    job.session.touch()


def test_a_bus_that_was_measured_empty_and_holds_voltage_stops_work() -> None:
    """Nobody gave it power, nobody turned its motor: the second reading is no matter of waiting longer."""
    job = proved()
    at(job, "dead-bus", "bus")
    still_live(job)
    assert job.state.job is JobState.STOPPED
    assert [s.stop for s in job.state.stops] == ["voltage-present"]
    last = next(r.event for r in reversed(job.records) if isinstance(r.event, Answered))
    assert last.contradicts == ("charge",)
    assert job.believed("outlet") == {"stopped"} and job.believed("dead") == {"no"}
    assert job.believed("verified") == {"no"}


def test_a_bus_that_was_not_measured_yet_is_waited_for() -> None:
    """It drains in its time: the first reading over 50 V stops nothing."""
    job = shake(drive="direct")
    at(job, "dead-bus", "bus")
    still_live(job)
    assert job.state.job is JobState.WORKING


def test_what_lights_up_after_it_was_tried_dead_stops_work() -> None:
    """The plug lies in the bag, it was tried dead, and now it lights: there is another supply."""
    job = proved()
    at(job, "power", "try")
    step = job.flow.inspections["power"].step("try")
    assert stops_work(job.session.view, step, step.answer("lit"))
    job.answer("lit")
    assert job.state.job is JobState.STOPPED and job.state.stops[0].stop == "voltage-present"


def test_the_wrong_plug_found_by_the_first_try_stops_nothing() -> None:
    """That is what trying is for: the right one is pulled."""
    job = shake(drive="direct")
    at(job, "power", "try")
    step = job.flow.inspections["power"].step("try")
    assert not stops_work(job.session.view, step, step.answer("lit"))
    job.answer("lit")
    assert job.state.job is JobState.WORKING
