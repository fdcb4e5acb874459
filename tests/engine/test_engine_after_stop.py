"""After a stop the next visit looks again, from the first step, at why; only that lifts what the stop forbids."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.engine.jobs import Job, good
from tests.proof.edits import answer, edited
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.audit import audit
from wizard.engine.draft import Rules
from wizard.engine.drive import Driver
from wizard.engine.events import Recorded
from wizard.engine.session import Session
from wizard.flow.case import build_case
from wizard.flow.load import load
from wizard.flow.model import Answer, Flow, Step
from wizard.flow.shipped import folder_of
from wizard.proof.clock import CaseClock
from wizard.proof.script import Script

FIRST = Step(
    "plug",
    "choose",
    "Look at the plug.",
    (
        Answer("fine", "Fine", "bolts", usual=True, lift=("scorched",)),
        Answer("bad", "Scorched", "bolts", stop="hot-plug"),
    ),
)


@pytest.fixture
def looking() -> Flow:
    """The first look begins with the plug: scorched stops work and forbids a spin, and only 'fine' lifts that."""
    flow = good()
    quick = flow.inspections["quick"]
    inspections = {**flow.inspections, "quick": replace(quick, steps=(FIRST, *quick.steps))}
    return edited(flow, inspections=inspections)


def stopped(job: Job) -> Job:
    """Make safe what a stop wants, close the visit and begin another."""
    stop = job.flow.stops[job.state.halt.stop]
    for line in range(len(stop.make_safe)):
        job.do(c.MakeSafe(line))
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale", "T-2"))
    job.do(c.NamePerson("M. Oak"))
    return job


def test_the_look_that_stopped_work_begins_at_its_first_step(looking: Flow) -> None:
    """Not after the question whose answer was the stop; the good answer lifts the bar, and the job is proved."""
    job = Job(flow=looking)
    job.do(c.Open("quick"))
    job.answer("bad")
    job = stopped(job)
    assert "scorched" in derive.bars(job.state)
    assert job.until("inspect").target == "quick"
    job.do(c.Open("quick"))
    assert job.at == "quick.plug" and job.state.run.id == 2
    job.answer("fine")
    job.answer()
    assert not derive.bars(job.state)
    job.until("close")
    job.do(c.Close())
    assert job.state.outcome == "proved"


def test_what_was_answered_before_the_stop_keeps(looking: Flow) -> None:
    """The run that the stop broke off ends as left, with its answer; a run on the same visit still goes on."""
    job = Job(flow=looking)
    job.do(c.Open("quick"))
    job.answer("fine")
    job.do(c.Leave())
    job.do(c.Open("quick"))
    assert job.at == "quick.bolts"
    job.do(c.StopWork("hot-plug"))
    job = stopped(job)
    job.do(c.Open("quick"))
    assert job.at == "quick.plug"
    assert [(r.id, r.how) for r in job.state.runs] == [(1, "left"), (2, "open")]
    assert [g.answer for g in job.state.answers(1)] == ["fine"]


def test_a_look_that_was_done_comes_again_before_all_else(looking: Flow) -> None:
    """Stopped in a later part: the finished look is next, before the search goes on."""
    job = Job(flow=looking)
    job.through("quick")
    job.do(c.StopWork("hot-plug"))
    job = stopped(job)
    coming = derive.next_up(looking, job.state)
    assert (coming.kind, coming.target, coming.why) == ("inspect", "quick", derive.LOOK_AGAIN)
    job.through("quick")
    assert not derive.bars(job.state)
    assert derive.next_up(looking, job.state).target == "dampers"


def test_it_comes_before_the_machine_is_left(looking: Flow) -> None:
    """Decided and then stopped: looked at again before the machine is left out of use."""
    job = Job(flow=looking)
    job.through("quick")
    job.do(c.Confirm(()))
    job.do(c.StopWork("hot-plug"))
    job = stopped(job)
    assert derive.next_up(looking, job.state).target == "quick"
    job.through("quick")
    assert derive.next_up(looking, job.state).target == "hoses"


def test_asked_and_not_lifted_leads_to_leaving(looking: Flow) -> None:
    """One who looked and could not lift it isn't sent round: the machine is left. Passed over counts as well."""
    flow = answer(looking, "quick.plug", "bad", stop="")
    for act in ("look", "skip"):
        job = Job(flow=flow)
        job.through("quick")
        job.do(c.Confirm(()))
        job.do(c.StopWork("hot-plug"))
        job = stopped(job)
        if act == "look":
            job.through("quick", "bad")
        else:
            job.do(c.Skip("quick", "It can't be seen today."))
        assert derive.next_up(flow, job.state).kind == "leave"


@pytest.mark.parametrize(("name", "look"), [("washer-shake", "no-spin"), ("washer-no-drain", "look")])
def test_scorched_then_made_good_on_the_shipped_flows(name: str, look: str) -> None:
    """The plug is scorched; on the next visit it is looked at again and is fine, and the job runs to its end."""
    flow = load(folder_of(name))
    table = {
        "id": "again",
        "says": "Scorched, then mended.",
        "expect": {"outcome": "no-fault"},
        "confirm": [],
    }
    table["answers"] = {f"{look}.before": {"in_turn": ["scorched", "clear"]}}
    records: list[Recorded] = []
    clock = CaseClock()
    session = Session.begin(flow, "again", records.append, clock, "R. Vale")
    driver = Driver(session, Script(build_case({"case": table})), clock.pass_by)
    while driver.advance():
        pass
    assert session.state.outcome == "stopped" and "out-of-use" in derive.bars(session.state)
    session.do(c.BeginVisit("R. Vale"))
    while driver.advance():
        pass
    assert session.state.outcome == "no-fault" and "out-of-use" not in derive.bars(session.state)
    assert audit(Rules.of(flow), records) == ()
