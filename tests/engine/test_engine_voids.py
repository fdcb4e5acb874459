"""An answer that ends a safety state: what is left of it, in work, in a gate, and by a correction."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import Job, good

from wizard.engine import commands as c
from wizard.engine.audit import audit
from wizard.engine.draft import Rules
from wizard.engine.safety import after_void
from wizard.flow.model import STATES, Flow


def voiding(where: str, answer: str, *voids: str) -> Flow:
    """The small flow, with an answer (any of the step where it is empty) that ends these states."""
    flow = good()
    name, _, step_id = where.partition(".")
    inspection = flow.inspections[name]
    steps = tuple(
        replace(s, answers=tuple(replace(a, voids=voids) if answer in ("", a.id) else a for a in s.answers))
        if s.id == step_id
        else s
        for s in inspection.steps
    )
    return replace(flow, inspections={**flow.inspections, name: replace(inspection, steps=steps)})


LEFT = {
    ("isolated", "isolated"): "covered",
    ("isolated", "proved-dead"): "covered",
    ("isolated", "wet"): "covered",
    ("proved-dead", "proved-dead"): "isolated",
    ("wet", "wet"): "covered",
    ("proving", "proving"): "covered",
}
"""(what is ended, the state then) -> what is left; every other pair changes nothing. Common practice: the plug out is
what proving dead and opening the taps begin with, so they don't outlive it."""


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("ended", STATES)
def test_what_is_left_of_a_state(ended: str, state: str) -> None:
    """Never more than before: isolated where dead was proved, else covered, which says that nothing is known."""
    assert after_void(state, (ended,)) == LEFT.get((ended, state), state)
    assert after_void(state, ()) == state


def test_both_states_ended_at_once_leave_nothing() -> None:
    """Whoever lost isolation hasn't got it back by losing the proof of dead too."""
    assert after_void("proved-dead", ("isolated", "proved-dead")) == "covered"
    assert after_void("proved-dead", ("proved-dead", "isolated")) == "covered"


@pytest.mark.parametrize(("first", "state"), [("isolate", "isolated"), ("dead", "proved-dead")])
def test_isolation_lost_in_work_asks_for_the_gate_again(first: str, state: str) -> None:
    """The answer counts; the next step comes only behind the gate, whichever state stood on isolation."""
    job = Job(flow=voiding("dampers.bounce", "swings", "isolated"))
    job.through(first)
    assert job.state.safety == state
    job.do(c.Open("dampers"))
    job.answer("swings")
    assert job.state.safety == "covered"
    assert job.at == "isolate.look"
    while job.at.startswith("isolate."):
        job.answer()
    assert (job.at, job.state.safety) == ("dampers.pull", "isolated")
    assert audit(Rules.of(job.flow), job.records) == ()


@pytest.mark.parametrize(("where", "state"), [("hoses", "wet"), ("spin", "proving")])
def test_wet_and_proving_can_be_ended_by_an_answer(where: str, state: str) -> None:
    """From then on the machine is covered."""
    first = good().inspections[where].steps[0].id
    job = Job(flow=voiding(f"{where}.{first}", "", state))
    job.do(c.Open(where))
    while job.at != f"{where}.{first}":
        job.answer()
    assert job.state.safety == state
    job.answer()
    assert [(g.was, g.state) for g in job.state.gates if g.why == "voided"] == [(state, "covered")]


def test_a_gate_that_loses_what_it_stands_on_begins_anew() -> None:
    """Isolation is lost in the proof of dead: the answers before it count no more, and isolation comes first."""
    flow = voiding("dead.bus", "fail", "isolated")
    job = Job(flow=flow)
    job.do(c.Open("motor"))
    while job.at != "dead.bus":
        job.answer()
    job.read(60)  # over 50 V: it leads back to the step
    run = job.state.run
    job.do(c.Judge(run.id, "bus"))
    assert job.state.given[-1].answer == "fail"
    assert job.state.safety == "covered"
    assert job.state.find_run(run.id).how == "void"
    assert job.at == "isolate.look"
    while job.at.startswith("isolate."):
        job.answer()
    assert job.at == "dead.tester"
    assert audit(Rules.of(flow), job.records) == ()


def test_a_correction_ends_what_its_answer_ends() -> None:
    """'It settles' becomes 'it swings', and that ends isolation: the gate comes again."""
    job = Job(flow=voiding("dampers.bounce", "swings", "isolated"))
    job.isolate()
    job.do(c.Open("dampers"))
    job.answer("settles")
    job.do(c.Correct(job.state.given[-1].seq, "swings", "Counted again."))
    assert job.state.safety == "covered"
    run = job.state.run
    assert job.refused(c.TakeReading(run.id, run.at, "60")) == "gate"
    job.do(c.GoOn())
    assert job.at == "isolate.look"


def test_a_correction_ends_nothing_that_was_ended_already() -> None:
    """Both answers end isolation; it was established again since, and stands."""
    job = Job(flow=voiding("dampers.bounce", "", "isolated"))
    job.isolate()
    job.do(c.Open("dampers"))
    job.answer("settles")
    seq = job.state.given[-1].seq
    while job.at.startswith("isolate."):
        job.answer()
    job.do(c.Correct(seq, "swings", "Counted again."))
    assert job.state.safety == "isolated"
