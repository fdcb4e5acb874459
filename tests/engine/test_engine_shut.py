"""What a bar forbids waits: the flow's next passes on to what may be done, and says so when nothing else is open."""

from __future__ import annotations

from dataclasses import replace

from tests.engine.jobs import Job, good
from tests.proof.edits import edited
from wizard.engine import commands as c
from wizard.engine import derive


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
