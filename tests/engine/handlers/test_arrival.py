"""What forbids touching a machine is asked before the first fact of it.

EN 50110-1: the place of work is assessed before work begins. Common practice: gas, outlet and shock first of all.
"""

from __future__ import annotations

import pytest

from tests.helpers.jobs import HandClock, good
from wizard.domain.vocabulary import JobState, NextKind, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import next_queries
from wizard.engine.queries.machine_view import badge
from wizard.engine.session import Session
from wizard.errors import Refused


class Door:
    """A job that was begun, and nothing more."""

    def __init__(self) -> None:
        self.clock, self.records = HandClock(), []
        self.session = Session.begin(good(), "2026-03-02-a", self.records.append, self.clock, "R. Vale")

    @property
    def at(self) -> str:
        run = self.session.state.run
        return f"{run.inspection}.{run.at}" if run else "map"

    def do(self, command: c.Command) -> None:
        self.clock.move(60)
        self.session.do(command)

    def say(self, answer: str) -> None:
        run = self.session.state.run
        self.do(c.GiveAnswer(run.id, run.at, (answer,)))

    def refused(self, command: c.Command) -> RefusalReason:
        with pytest.raises(Refused) as refusal:
            self.do(command)
        return refusal.value.reason


def test_the_first_question_is_for_gas_outlet_and_shock_and_no_fact_is_taken_before_it():
    door = Door()
    assert door.at == "before.danger"
    assert door.refused(c.SetFact("kind", "front-loader")) is RefusalReason.NEEDS
    assert door.refused(c.OpenInspection("quick")) is RefusalReason.FACTS
    door.say("clear")
    assert door.at == "map" and next_queries.next_up(door.session.view).kind is NextKind.FACT
    door.do(c.SetFact("kind", "front-loader"))
    assert door.session.state.facts["kind"] == "front-loader"


def test_it_is_not_left_by_the_map():
    door = Door()
    assert door.refused(c.Leave()) is RefusalReason.FACTS
    assert door.at == "before.danger"


def test_gas_stops_the_work_before_anything_is_asked():
    door = Door()
    door.say("gas")
    assert door.session.state.job is JobState.STOPPED and not door.session.state.facts


def test_who_can_t_look_stops_too():
    door = Door()
    door.do(c.SayUnable(door.session.state.run.id, "danger", "the cellar is dark"))
    assert door.session.state.job is JobState.STOPPED


@pytest.mark.parametrize("away", ["break", "lapse", "restart"])
def test_it_is_asked_again_between_two_facts_when_nobody_attended(away):
    door = Door()
    door.say("clear")
    door.do(c.SetFact("kind", "front-loader"))
    if away == "break":
        door.do(c.Pause())
    elif away == "lapse":
        door.clock.move(16 * 60)
        door.session.touch()
    else:
        door.session = Session.resume(good(), tuple(door.records), door.records.append, door.clock)
    assert door.at == "before.danger"
    assert door.refused(c.SetFact("dampers", "3")) is RefusalReason.NEEDS
    door.say("clear")
    door.do(c.SetFact("dampers", "3"))
    assert door.session.state.facts["dampers"] == "3"


@pytest.mark.parametrize("events", range(1, 5))
def test_what_a_crash_cut_off_at_the_beginning_is_finished(events):
    """Began, the visit, the step, its showing: whatever is missing, the question stands there after a restart."""
    kept = tuple(Door().records[:events])
    assert len(kept) == events
    session = Session.resume(good(), kept, [].append, HandClock())
    run = session.state.run
    if session.state.visits:
        assert (run.inspection, run.at) == ("before", "danger")


def test_gas_that_nobody_cleared_comes_before_the_facts_of_a_second_visit():
    door = Door()
    door.say("gas")
    stop = door.session.state.stops[-1].stop
    for line in range(len(good().stops[stop].make_safe)):
        door.do(c.MakeSafe(stop, line))
    door.do(c.Close())
    door.do(c.BeginVisit("R. Vale", reason="the gas works were there"))
    coming = next_queries.next_up(door.session.view)
    assert coming.kind is NextKind.RELEASE and coming.target == "gas"
    door.do(c.Release("gas", "R. Vale", "the meter was changed"))
    assert door.at == "before.danger"


def test_taken_up_again_in_the_middle_of_the_facts_no_hands_are_called_out():
    """No step was open: there is nothing that hands would come out of."""
    door = Door()
    door.say("clear")
    door.do(c.Pause())
    assert door.at == "before.danger" and not badge(door.session.view).hands_out


def test_a_lapse_before_the_first_fact_asks_at_the_door_again():
    door = Door()
    door.say("clear")
    assert door.at == "map"
    door.clock.move(4 * 3600 + 1)
    assert door.session.touch()
    assert door.at == "before.danger"


def test_a_restart_before_the_first_fact_asks_at_the_door_again():
    door = Door()
    door.say("clear")
    assert Session.resume(good(), tuple(door.records), [].append, door.clock).state.run.at == "danger"


def test_a_job_that_ended_before_its_first_question_is_asked_it():
    """The program died between the two: nothing is less known than at the beginning, and the question is due."""
    door = Door()
    began = tuple(door.records[:1])
    assert began[0].event.kind is EventKind.BEGAN and len(door.records) > 1
    assert Session.resume(good(), began, [].append, door.clock).state.run.at == "danger"
