"""Driving a session by a source: what a technician does of themselves, and what is refused all the same."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from tests.helpers.jobs import HandClock, good
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.answer_source import AnswerSource, RepairReply, Reply, ReplyHow
from wizard.engine.driver import LONGEST_QUIET, Driver
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Recorded
from wizard.engine.queries import next_queries
from wizard.engine.queries.next_queries import NextUp
from wizard.engine.session import Session
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.errors import Refused
from wizard.flow.model import Fact, Fault, Step
from wizard.flowcheck.cases.case_script import usual


@dataclass
class Answers:
    """A source by hand: replies by step, else the usual; the faults to confirm; what becomes of them."""

    replies: dict[str, Reply] = field(default_factory=dict)
    confirm: tuple[str, ...] = ("dampers-worn",)
    outcome: RepairReply = field(
        default_factory=lambda: RepairReply(RepairOutcome.FITTED, "Seen to be worn.")
    )

    def fact(self, view: JobView, fact: Fact) -> str:
        return fact.usual or "X1"

    def complaint(self, view: JobView) -> str:
        return "It bangs."

    def release(self, view: JobView, condition: str) -> c.Release:
        return c.Release(condition, "A. Pine", "It was seen to.")

    def coming(self, view: JobView) -> NextUp:
        return next_queries.next_up(view)

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        said = self.replies.get(f"{run.inspection}.{step.id}")
        return said or usual(view, step, run.inspection)

    def faults(self, view: JobView) -> tuple[str, ...]:
        return self.confirm

    def repair(self, view: JobView, fault: Fault) -> RepairReply:
        return self.outcome


class Ride:
    """A driver on the small flow, with a clock by hand and its events in a list."""

    def __init__(self, source: AnswerSource) -> None:
        self.clock, self.records = HandClock(), list[Recorded]()
        session = Session.begin(good(), "2026-03-02-a", self.records.append, self.clock)
        self.driver = Driver(session, source, self.clock.move)

    @property
    def state(self) -> State:
        return self.driver.session.state

    def until(self, kind: NextKind) -> NextUp:
        """Go on until this is next and nothing is on screen."""
        for _ in range(300):
            coming = next_queries.next_up(self.driver.session.view)
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


def test_a_repair_is_made_once_what_it_needs_holds() -> None:
    """What a break made unknown is asked before the repair, and nothing is recorded as fitted before."""
    ride = Ride(Answers())
    ride.until(NextKind.REPAIR)
    ride.driver.session.do(c.Pause())
    paused = ride.state.seq
    ride.until(NextKind.RECHECK)
    fitted = next(r for r in ride.records if r.event.kind == "repaired")
    asked = {f"{g.inspection}.{g.step}" for g in ride.state.answer_records if paused < g.seq < fitted.seq}
    assert {"power.plug", "power.try"} <= asked


def test_a_long_repair_is_no_lapse() -> None:
    """Lines are ticked off while mending, so a repair of most of an hour is no lapse."""
    assert good().faults["dampers-worn"].remedy.minutes * 60 > 2 * LONGEST_QUIET
    ride = Ride(Answers())
    ride.to_the_end()
    assert not any(r.event.kind == "widened" for r in ride.records)


def test_a_customer_who_declines_is_told_the_risk() -> None:
    """The words stand in the record; without words the engine refuses."""
    assert (
        Ride(Answers(outcome=RepairReply(RepairOutcome.DECLINED, "It walks."))).to_the_end().outcome
        == "declined"
    )
    with pytest.raises(Refused, match="risk"):
        Ride(Answers(outcome=RepairReply(RepairOutcome.DECLINED))).to_the_end()


def test_what_is_barred_is_left_out_with_the_reason() -> None:
    """Bolts seen on the way keep the spin from being made."""
    ride = Ride(Answers(replies={"quick.bolts": Reply(ReplyHow.ANSWER, ("yes",))}))
    ride.to_the_end()
    assert not any(
        r.event.kind == "shown" and ride.state.runs[r.event.run - 1].inspection == "spin"
        for r in ride.records
        if getattr(r.event, "run", 0)
    )


def test_readings_may_be_left_out_with_a_reason() -> None:
    """An empty text is a reading not made; the step is judged by the others."""
    typed = ("20", "20", "20", *("",) * 15)
    ride = Ride(
        Answers(replies={"dampers.pull": Reply(ReplyHow.READINGS, typed=typed, reason="Out of reach.")})
    )
    ride.until(NextKind.DECIDE)
    taken = [t for t in ride.state.reading_records if t.step == "pull"]
    assert len(taken) == 3
    assert next(g for g in ride.state.answer_records if g.step == "pull").reason == "Out of reach."


def test_the_wrong_number_of_readings_is_refused() -> None:
    """Two texts are none of 18 readings."""
    ride = Ride(Answers(replies={"dampers.pull": Reply(ReplyHow.READINGS, typed=("20", "20"))}))
    with pytest.raises(Refused, match="2 readings are given, the step takes 18"):
        ride.until(NextKind.DECIDE)


def test_work_can_be_stopped_at_any_step() -> None:
    """Then the machine is made safe line by line, and the visit closed."""
    ride = Ride(Answers(replies={"dampers.bounce": Reply(ReplyHow.STOP, stop="gas", reason="It smells.")}))
    state = ride.to_the_end()
    assert state.outcome == "stopped"
    assert sorted(state.stops[0].done) == list(range(len(good().stops["gas"].make_safe)))


class HastyAnswers(Answers):
    """Decides before anything was looked at."""

    def coming(self, view: JobView) -> NextUp:
        coming = next_queries.next_up(view)
        early = coming.kind is NextKind.INSPECT and view.state.decided is None
        return NextUp(NextKind.DECIDE, "", "In a hurry.") if early else coming


def test_a_part_goes_in_only_after_a_test_that_confirms_it() -> None:
    """A fault confirmed unseen sends the driver to the test before the repair."""
    ride = Ride(HastyAnswers())
    assert ride.to_the_end().outcome == "proved"
    fitted = next(r.seq for r in ride.records if r.event.kind == "repaired")
    seen = {StepRef(g.inspection, g.step) for g in ride.state.answer_records if g.seq < fitted}
    assert seen & set(good().faults["dampers-worn"].confirm)


def test_time_passes_as_the_steps_say() -> None:
    """A step is answered after its own minutes."""
    ride = Ride(Answers())
    before = ride.clock.mono()
    ride.until(NextKind.DECIDE)
    spent = ride.clock.mono() - before
    asked = [good().inspections[g.inspection].step(g.step) for g in ride.state.answer_records]
    assert spent == pytest.approx(sum(step.minutes * 60 for step in asked if step))
