"""Which answers stop work is told from the flow, and from how often they were given."""

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.engine.queries.stopping_answers import stops_work
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped


def at(inspection, step):
    """A shipped job that stands at this step, asked for the dampers."""
    flow = load(shipped()["washer-shake"])
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}, flow)
    job.do(c.OpenInspection("dampers"))
    while job.at != f"{inspection}.{step}":
        job.answer()
    return job


def stopping(job):
    """The answers of the step on screen that stop work if they are given now."""
    step = job.step()[1]
    return {a.id for a in step.answers if stops_work(job.view, step, a)}


def test_an_answer_that_leads_to_a_stop_does_so_at_once_or_the_last_time_it_may_be_given():
    """The wrong plug was out: it is asked again twice; the third time stops work, and is marked as such."""
    job = at("power", "try")
    assert stopping(job) == {"not-sure"}
    for _ in range(2):
        job.answer("lit")
        while job.at != "power.try":
            job.answer()
    assert stopping(job) == {"not-sure", "lit"}
    job.answer("lit")
    assert job.state.job == "stopped"


def test_an_answer_that_sets_a_latch_is_one_too():
    """What only a release lifts; the shipped flows set latches by stops alone, so the answer is made here."""
    job = at("power", "plug")
    step = job.step()[1]
    held = next(a for a in step.answers if a.usual)
    assert not stops_work(job.view, step, held)
    assert stops_work(job.view, step, replace(held, so={"gas": frozenset({"stopped"})}))
