"""What a gate itself leaves owed never refuses the gate's last answer, and is seen to before what it forbids."""

from __future__ import annotations

import pytest

from tests.engine.jobs import Job, good
from tests.proof.edits import answer, edited, entry, every_answer, inspection
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.flow.model import Flow


@pytest.fixture
def owing() -> Flow:
    """Isolating blocks the drum, which comes before any power, and only the hoses' check takes the block out."""
    flow = entry(good(), "debts", "level", before=("spin", "energised"))
    for where in ("leave.close", "restore.level"):
        name, _, step = where.partition(".")
        found = flow.inspections[name].step(step)
        assert found is not None
        for a in found.answers:
            flow = answer(flow, where, a.id, pay=tuple(d for d in a.pay if d != "level"))
    flow = every_answer(flow, "hoses.tissue", pay=("level",))
    return edited(answer(flow, "isolate.taps", "done", owe=("level",)))


def proving(flow: Flow) -> Job:
    """A job with nothing found, at the first of its proofs."""
    job = Job(flow=flow)
    job.do(c.Confirm(()))
    return job


def test_last_answer_of_a_gate_is_taken(owing: Flow) -> None:
    """The gate counts, and the job map comes, since the next gate is forbidden by what this one left owed."""
    job = proving(owing)
    job.do(c.Open("spin"))
    while job.state.run is not None:
        job.answer()
    assert job.at == "map" and job.state.safety == "isolated"
    assert "level" in derive.debts(job.state)


def test_what_pays_comes_before_what_is_forbidden(owing: Flow) -> None:
    """After a break in the proving spin the part that pays is next, though it was done; then the spin again."""
    job = proving(owing)
    job.until("inspect")
    job.through("hoses")
    job.do(c.Open("spin"))
    while job.state.run.inspection != "spin":
        job.answer()
    job.do(c.Pause())
    job.do(c.GoOn())
    while job.state.run is not None:
        job.answer()
    assert job.state.safety == "isolated"
    coming = derive.next_up(owing, job.state)
    assert (coming.target, coming.why) == ("hoses", "Something is owed that comes first.")
    job.through("hoses")
    assert derive.next_up(owing, job.state).target == "spin"
    job.through("spin")
    assert derive.result(job.state, "spin") == "pass"


def test_what_was_tried_and_didnt_pay_isnt_named_again(owing: Flow) -> None:
    """Somebody who can't pay isn't sent round: after one try the proof itself is next, and says why it is forbidden."""
    flow = edited(answer(owing, "hoses.tissue", "no", pay=()))
    job = proving(flow)
    job.isolate()
    assert derive.next_up(flow, job.state).target == "hoses"
    job.through("hoses", "no")
    assert derive.next_up(flow, job.state).target == "spin"
    assert job.refused(c.Open("spin")) == "barred"


def test_a_gate_may_be_what_pays(owing: Flow) -> None:
    """Where no part of proving pays, a gate that does is next."""
    flow = every_answer(every_answer(owing, "hoses.tissue", pay=()), "taps-on.open", pay=("level",))
    job = proving(flow)
    job.isolate()
    assert derive.owed_first(flow, job.state, "spin") == "taps-on"


def test_what_is_owed_at_the_end_is_next(owing: Flow) -> None:
    """With all done and something owed since, what pays it is next, not the closing that would be refused."""
    flow = inspection(owing, "hoses", states=("isolated",))
    job = proving(flow)
    job.until("close")
    job.do(c.Pause())
    job.isolate()
    job.through("handover")
    assert derive.debts(job.state)
    coming = derive.next_up(flow, job.state)
    assert (coming.target, coming.why) == ("hoses", "Something is still owed.")
    assert job.until("close").kind == "close"
    job.do(c.Close())
    assert job.state.outcome == "no-fault"
