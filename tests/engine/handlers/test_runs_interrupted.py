"""A run of the machine that was interrupted begins anew: nothing goes on in the middle of what no longer runs."""

import pytest

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RunStatus
from wizard.engine.handlers.transaction import beginning
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped

FLOW = load(shipped()["washer-shake"])
FACTS = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in FLOW.facts}


def ramping() -> Job:
    """The empty spin is in full speed: the slow part was watched."""
    job = Job(FACTS, FLOW)
    job.come_to("baseline", "worst")
    return job


def test_where_a_run_begins():
    """The last step up to it that needs that no program runs."""
    spin = FLOW.inspections["baseline"]
    starts = [s.id for s in spin.steps if s.needs.get("program") == {"idle"}]
    assert beginning(FLOW, spin, "worst") == starts[0] != "worst"
    assert beginning(FLOW, spin, starts[0]) == starts[0]
    talk = next(s.id for s in FLOW.inspections["arrival"].steps)
    assert beginning(FLOW, FLOW.inspections["arrival"], talk) == talk


@pytest.mark.parametrize("how", ["break", "left", "restart"])
def test_what_was_interrupted_begins_with_its_first_step(how):
    """A break, the job map, a power cut: what a run needs is asked, and then it is started and watched from slow on."""
    job = ramping()
    start = beginning(FLOW, FLOW.inspections["baseline"], "worst")
    if how == "break":
        job.do(c.Pause())
    elif how == "left":
        job.do(c.Leave())
        job.through("arrival")
    else:
        job.session = type(job.session).resume(FLOW, tuple(job.records), job.records.append, job.clock)
    if job.state.run is None:
        job.do(c.OpenInspection("baseline"))
    asked = job.asked()
    assert asked and job.at == f"baseline.{start}"


def test_what_was_not_interrupted_goes_on():
    """From the slow part to the full speed without a question."""
    job = Job(FACTS, FLOW)
    start = beginning(FLOW, FLOW.inspections["baseline"], "worst")
    job.come_to("baseline", start)
    steps = []
    while job.at != "baseline.worst":
        steps.append(job.at)
        job.answer()
    assert all(not s.startswith("before.idle") for s in steps)


def test_what_is_asked_once_is_not_asked_again_on_the_same_visit():
    """How the dampers are reached: begun again, the inspection begins where the answer led; on a new visit it asks."""
    job = Job(FACTS, FLOW)
    job.come_to("dampers", "way")
    while any(r.inspection == "dampers" and r.how is not RunStatus.DONE for r in job.state.runs):
        job.answer()
    job.do(c.OpenInspection("dampers"))
    job.asked()
    assert job.at == "dampers.look"
    job.do(c.OpenInspection("dampers", "way"))
    assert job.at == "dampers.way"  # Who opens that very step is asked.
    job.do(c.StopWork("people"))
    for line in range(len(FLOW.stops["people"].make_safe)):
        job.do(c.MakeSafe("people", line))
    job.do(c.Close())
    job.do(c.BeginVisit("S. Ash", reason="They left."))
    job.ask_causes()
    job.do(c.OpenInspection("dampers"))
    job.asked()
    assert job.at == "dampers.way"
