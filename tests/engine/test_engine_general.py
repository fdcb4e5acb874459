"""The engine knows bars and debts by what they name, and no activity by its name."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import Job, good

from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.advising import open_inspections
from wizard.engine.safety import activities, forbidden
from wizard.flow.load import load
from wizard.flow.model import Bar, Debt, Flow
from wizard.flow.shipped import folder_of


def with_bar(forbids: str) -> Flow:
    """The small flow, every bar of it forbidding this one thing."""
    flow = good()
    return replace(flow, bars={b: Bar(b, "It must not.", (forbids,)) for b in flow.bars})


def barred(flow: Flow) -> Job:
    """A job on that flow with its first bar set from outside, as an answer would."""
    job = Job(flow=flow)
    first = next(iter(flow.bars))
    answers = [
        (i.id, s.id, a.id)
        for i in flow.inspections.values()
        for s in i.steps
        for a in s.answers
        if first in a.bar and not i.gate and "covered" in i.states
    ]
    inspection, step, answer = answers[0]
    job.do(c.Open(inspection, step))
    run = job.state.run
    assert run is not None
    job.do(c.Answer(run.id, step, answer))
    return job


@pytest.mark.parametrize("act", ["spin", "energised"])
def test_a_bar_on_any_act_of_the_proof_means_leaving(act: str) -> None:
    """A machine that must not do what its proof does is left waiting, whatever that is called."""
    job = barred(with_bar(act))
    assert derive.bars(job.state)
    assert derive.leaving(job.flow, job.state)


def test_a_bar_on_something_else_does_not() -> None:
    """A bar on what no proof does keeps nobody from the handover."""
    job = barred(with_bar("dance"))
    assert derive.bars(job.state)
    assert not derive.leaving(job.flow, job.state)


def test_a_state_is_an_activity_of_work_that_needs_it() -> None:
    """A bar that forbids 'proving', or a debt that comes before it, holds back the work there but not its gate."""
    flow = good()
    proof = next(i for i in flow.inspections.values() if i.states == ("proving",))
    (gate,) = flow.gate("proving")
    debt = Debt("owed", "Close it.", ("proving",))
    owing = replace(flow, debts={"owed": debt})
    assert "proving" in activities(proof, proof.steps[0])
    assert "proving" not in activities(gate, gate.steps[0])
    said = "Close it. That comes before any test run."
    assert forbidden(owing, proof, proof.steps[0], {}, {"owed": 1}) == said
    assert forbidden(owing, gate, gate.steps[0], {}, {"owed": 1}) == ""


def test_advice_names_nothing_that_a_bar_on_power_forbids() -> None:
    """Where only power is barred, what needs the plug in is not advised; once the bar is another, it is."""
    flow = load(folder_of("washer-no-drain"))
    facts = {fact.id: fact.usual or "-" for fact in flow.facts}
    job = Job(facts, flow)
    assert derive.bars(job.state).keys() == {"unseen"}
    assert "pump-run" not in {i.id for i in open_inspections(flow, job.state)}
    free = replace(flow, bars={**flow.bars, "unseen": Bar("unseen", "Not yet.", ("dance",))})
    assert "pump-run" in {i.id for i in open_inspections(free, job.state)}
