"""An answer that says that nobody helps: work for two asks again, though somebody was named before."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.engine.jobs import Job, good
from tests.proof.edits import step
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.flow.load import load
from wizard.flow.model import Answer, Flow
from wizard.flow.shipped import shipped


@pytest.fixture
def flow() -> Flow:
    """The gate to isolated ends with whether somebody helps; the dampers take two."""
    last = good().inspections["isolate"].steps[-1]
    two = replace(last.answers[0], id="two", says="Done, with two")
    alone = Answer("alone", "Done; I work alone", two.next, owe=two.owe, good=True, alone=True)
    return step(good(), f"isolate.{last.id}", kind="choose", answers=(two, alone))


def through_gate(job: Job, last: str) -> None:
    """Open the dampers, and answer the gate on top of them with this at its end."""
    job.do(c.Open("dampers"))
    while job.state.run is not None and job.state.run.inspection == "isolate":
        at_end = job.state.run.at == job.flow.inspections["isolate"].steps[-1].id
        job.answer(last if at_end else "")


def test_alone_in_the_gate_takes_work_for_two_off_the_screen(flow: Flow) -> None:
    """The gate counts, the map comes, and opening it again asks who helps; once somebody is named it goes on."""
    job = Job(flow=flow)
    through_gate(job, "alone")
    assert job.at == "map" and job.state.safety == "isolated"
    assert job.refused(c.Open("dampers")) == "person"
    assert job.state.visit.person == "M. Oak"
    job.do(c.NamePerson("M. Oak"))
    job.do(c.Open("dampers"))
    assert job.at == "dampers.bounce"


def test_with_two_it_goes_on(flow: Flow) -> None:
    """The other answer leaves the named one standing."""
    job = Job(flow=flow)
    through_gate(job, "two")
    assert job.at == "dampers.bounce" and not derive.short_of_people(job.state, 2)


def test_a_repair_for_two_asks_as_well(flow: Flow) -> None:
    """Alone since the gate: fitted is refused for want of a second person."""
    fault = flow.faults["dampers-worn"]
    two = replace(fault, remedy=replace(fault.remedy, people=2))
    job = Job(flow=replace(flow, faults={**flow.faults, fault.id: two}, digest="alone-two"))
    through_gate(job, "alone")
    job.do(c.Confirm((fault.id,)))
    assert job.refused(c.Mend(fault.id, "fitted", (), "Seen.")) == "person"


@pytest.mark.parametrize("name", sorted(shipped()))
def test_who_says_so_on_the_shipped_flows_works_alone(name: str) -> None:
    """Every gate that offers working alone makes it count."""
    gates = [i for i in load(shipped()[name]).inspections.values() if i.gate == "isolated"]
    offered = [a for i in gates for s in i.steps for a in s.answers if "I work alone" in a.says]
    assert len(offered) == len(gates) and all(a.alone for a in offered)
