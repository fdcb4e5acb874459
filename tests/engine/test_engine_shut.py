"""What a bar forbids waits: the flow's next passes on to what may be done, and says so when nothing else is open."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.engine.jobs import Job, good
from tests.proof.edits import edited, entry, every_answer
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.safety import forbidden
from wizard.flow.model import Debt, Inspection, Step


def barred() -> Job:
    """A job whose first look bars all work on an isolated machine: the dampers, but not what is proved dead."""
    flow = good()
    bars = {**flow.bars, "transit": replace(flow.bars["transit"], forbids=("isolated",))}
    job = Job(flow=edited(replace(flow, bars=bars)))
    job.do(c.Open("quick"))
    job.answer("yes")
    while job.state.run is not None:
        job.answer()
    return job


def test_the_next_is_what_may_be_done() -> None:
    """The dampers stand before the motor, but a bar forbids them."""
    job = barred()
    assert derive.shut(job.flow, job.state, "dampers") and not derive.shut(job.flow, job.state, "motor")
    assert derive.next_up(job.flow, job.state).target == "motor"


def test_what_is_forbidden_comes_last_and_is_left_out_with_a_reason() -> None:
    """With nothing else open the dampers come, with how they are left out; then the decision."""
    job = barred()
    job.do(c.Skip("motor", "No time."))
    coming = derive.next_up(job.flow, job.state)
    assert (coming.target, coming.why) == (
        "dampers",
        "All else was looked at, and this is forbidden now.",
    )
    job.do(c.Skip("dampers", "The transit bolts are in."))
    assert derive.next_up(job.flow, job.state).kind == "decide"


def test_it_comes_in_its_turn_once_the_bar_is_lifted() -> None:
    """Where the answer is put right, the dampers are next again."""
    job = barred()
    first = next(g for g in job.state.given if g.inspection == "quick")
    job.do(c.Correct(first.seq, "no", "Looked again: they are out."))
    while job.state.run is not None:
        job.answer()
    assert not derive.bars(job.state)
    assert derive.next_up(job.flow, job.state).target == "dampers"


def owing() -> Job:
    """A job whose first look leaves owed what comes before all work on an isolated machine."""
    flow = entry(good(), "debts", "level", before=("isolated",))
    job = Job(flow=every_answer(flow, "quick.bolts", owe=("level",)))
    job.through("quick")
    return job


def test_the_next_passes_over_what_a_debt_forbids() -> None:
    """The dampers wait while something else is open; then they come, and say what is owed."""
    job = owing()
    assert derive.held_up(job.flow, job.state, "dampers") and not derive.shut(job.flow, job.state, "dampers")
    assert derive.next_up(job.flow, job.state).target == "motor"
    job.do(c.Skip("motor", "No time."))
    assert derive.next_up(job.flow, job.state).target == "dampers"
    assert job.refused(c.Open("dampers")) == "barred"


def test_what_a_gate_on_the_way_pays_is_not_passed_over() -> None:
    """The gate to isolated pays it, so the dampers may be gone to."""
    flow = entry(good(), "debts", "level", before=("isolated",))
    flow = every_answer(every_answer(flow, "quick.bolts", owe=("level",)), "isolate.taps", pay=("level",))
    job = Job(flow=flow)
    job.through("quick")
    assert not derive.held_up(flow, job.state, "dampers")
    assert derive.next_up(flow, job.state).target == "dampers"


@pytest.mark.parametrize(
    ("activity", "words"),
    [
        ("energised", "power"),
        ("wet", "work with the taps on"),
        ("isolated", "work on the isolated machine"),
        ("spin", "spin"),
        ("water", "water"),
    ],
)
def test_what_is_forbidden_is_said_in_words(activity: str, words: str) -> None:
    """'Before any energised' is no English; what a flow calls an activity stands as it is written."""
    flow = replace(good(), debts={"owed": Debt("owed", "Close it.", (activity,))})
    flow = replace(flow, bars={"shut": replace(flow.bars["transit"], says="It is in.", forbids=(activity,))})
    step = Step("s", "look", "Look.", (), does=(activity,))
    place = Inspection("i", "I", (step,), states=("covered", "isolated"))
    assert forbidden(flow, place, step, {}, {"owed": 1}) == f"Close it. That comes before any {words}."
    assert forbidden(flow, place, step, {"shut": 1}, {}) == f"It is in. No {words} until that is mended."
