"""Driving a session by a source: what a technician does of themselves, and what is refused all the same."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from tests.engine.jobs import HandClock, good
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.derive import NextUp
from wizard.engine.drive import LONGEST_QUIET, Driver
from wizard.engine.events import Recorded
from wizard.engine.session import Session
from wizard.engine.source import Repaired, Reply, Source
from wizard.engine.state import Run, State
from wizard.errors import Refused
from wizard.flow.model import Fact, Fault, Flow, Step
from wizard.proof.script import usual


@dataclass
class Answers:
    """A source by hand: replies by step, else the usual; the faults to confirm; what becomes of them."""

    replies: dict[str, Reply] = field(default_factory=dict)
    confirm: tuple[str, ...] = ("dampers-worn",)
    outcome: Repaired = field(default_factory=lambda: Repaired("fitted"))
    helper: str = "M. Oak"

    def fact(self, flow: Flow, state: State, fact: Fact) -> str:
        return fact.usual or "X1"

    def complaint(self, flow: Flow, state: State) -> str:
        return "It bangs."

    def person(self, flow: Flow, state: State) -> str:
        return self.helper

    def coming(self, flow: Flow, state: State) -> NextUp:
        return derive.next_up(flow, state)

    def reply(self, flow: Flow, state: State, run: Run, step: Step) -> Reply:
        said = self.replies.get(f"{run.inspection}.{step.id}")
        return said or usual(step, state.facts, run.inspection)

    def faults(self, flow: Flow, state: State) -> tuple[str, ...]:
        return self.confirm

    def repair(self, flow: Flow, state: State, fault: Fault) -> Repaired:
        return self.outcome


class Ride:
    """A driver on the small flow, with a clock by hand and its events in a list."""

    def __init__(self, source: Source) -> None:
        self.clock, self.records = HandClock(), list[Recorded]()
        session = Session.begin(good(), "2026-03-02-a", self.records.append, self.clock)
        self.driver = Driver(session, source, self.clock.move)

    @property
    def state(self) -> State:
        return self.driver.session.state

    def until(self, kind: str) -> NextUp:
        """Go on until this is next and nothing is on screen."""
        for _ in range(300):
            coming = derive.next_up(good(), self.state)
            if coming.kind == kind and self.state.run is None:
                return coming
            if not self.driver.advance():
                break
        raise AssertionError(f"{kind} never came")

    def to_the_end(self) -> State:
        """Go on until the visit is over."""
        for _ in range(300):
            if not self.driver.advance():
                return self.state
        raise AssertionError("it never ended")


def test_a_job_is_driven_from_the_door_to_the_close() -> None:
    """Everything asked is answered, and when the visit is over there is nothing left to do."""
    ride = Ride(Answers())
    assert ride.to_the_end().outcome == "proved"
    assert ride.driver.advance() is False


def test_the_second_person_is_named_when_they_are_needed() -> None:
    """Not before, and once."""
    ride = Ride(Answers())
    ride.to_the_end()
    named = [r for r in ride.records if r.event.kind == "person"]
    assert [r.event.name for r in named] == ["M. Oak"]
    assert any(r.seq < named[0].seq for r in ride.records if r.event.kind == "answered")


def test_work_for_two_is_refused_to_one() -> None:
    """A source that has nobody to help gets the engine's refusal."""
    with pytest.raises(Refused, match="Two people"):
        Ride(Answers(helper="")).to_the_end()


def test_a_repair_is_made_behind_its_gate() -> None:
    """The gate comes before the repair, and nothing is recorded as fitted outside of it."""
    ride = Ride(Answers())
    ride.until("repair")
    ride.driver.session.do(c.Pause())
    assert ride.state.safety == "covered"
    ride.until("recheck")
    fitted = next(r for r in ride.records if r.event.kind == "repaired")
    safety = [r.event.state for r in ride.records if r.event.kind == "safety" and r.seq < fitted.seq]
    assert safety[-1] == "isolated"


def test_a_long_repair_is_no_lapse() -> None:
    """Lines are ticked off while mending, so a repair of most of an hour keeps its gate."""
    assert good().faults["dampers-worn"].remedy.minutes * 60 > 2 * LONGEST_QUIET
    ride = Ride(Answers())
    ride.to_the_end()
    assert not any(r.event.kind == "safety" and r.event.why == "lapse" for r in ride.records)


def test_a_customer_who_declines_is_told_the_risk() -> None:
    """The words stand in the record; without words the engine refuses."""
    assert Ride(Answers(outcome=Repaired("declined", "It walks."))).to_the_end().outcome == "declined"
    with pytest.raises(Refused, match="risk"):
        Ride(Answers(outcome=Repaired("declined"))).to_the_end()


def test_what_is_barred_is_left_out_with_the_reason() -> None:
    """A bar seen on the way keeps the spin from being made; the record says which."""
    ride = Ride(Answers(replies={"quick.bolts": Reply("answer", "yes")}))
    ride.to_the_end()
    assert not any(r.event.kind == "entered" and r.event.inspection == "spin" for r in ride.records)


def test_readings_may_be_left_out_with_a_reason() -> None:
    """An empty text is a reading not made; the step is judged by the others."""
    typed = ("20", "20", "20", *("",) * 15)
    ride = Ride(Answers(replies={"dampers.pull": Reply("readings", typed=typed, reason="Out of reach.")}))
    ride.until("decide")
    taken = [t for t in ride.state.taken if t.step == "pull"]
    assert len(taken) == 3
    assert next(g for g in ride.state.given if g.step == "pull").reason == "Out of reach."


def test_the_wrong_number_of_readings_is_refused() -> None:
    """Two texts are none of 18 readings."""
    ride = Ride(Answers(replies={"dampers.pull": Reply("readings", typed=("20", "20"))}))
    with pytest.raises(Refused, match="2 readings are given, the step takes 18"):
        ride.until("decide")


def test_work_can_be_stopped_at_any_step() -> None:
    """Then the machine is made safe line by line, and the visit closed."""
    ride = Ride(Answers(replies={"dampers.bounce": Reply("stop", "gas", reason="It smells.")}))
    state = ride.to_the_end()
    assert state.outcome == "stopped" and state.halt is not None
    assert sorted(state.halt.done) == list(range(len(good().stops["gas"].make_safe)))


def test_a_gates_step_cant_be_told_as_undone() -> None:
    """'Unable' in a gate stops work."""
    ride = Ride(Answers(replies={"isolate.plug": Reply("unable", reason="Out of reach.")}))
    assert ride.to_the_end().outcome == "stopped"


class Hasty(Answers):
    """Decides before anything was looked at."""

    def coming(self, flow: Flow, state: State) -> NextUp:
        coming = derive.next_up(flow, state)
        return (
            NextUp("decide", "", "In a hurry.")
            if coming.kind == "inspect" and state.decided is None
            else coming
        )


def test_a_part_goes_in_only_after_a_test_that_confirms_it() -> None:
    """A fault confirmed unseen sends the driver to the test before the repair."""
    ride = Ride(Hasty())
    assert ride.to_the_end().outcome == "proved"
    fitted = next(r.seq for r in ride.records if r.event.kind == "repaired")
    seen = {f"{g.inspection}.{g.step}" for g in ride.state.given if g.seq < fitted}
    assert seen & set(good().faults["dampers-worn"].confirm)


def test_time_passes_as_the_steps_say() -> None:
    """A step is answered after its own minutes."""
    ride = Ride(Answers())
    before = ride.clock.mono()
    ride.until("decide")
    spent = ride.clock.mono() - before
    asked = [good().inspections[g.inspection].step(g.step) for g in ride.state.given]
    assert spent == pytest.approx(sum(step.minutes * 60 for step in asked if step))
