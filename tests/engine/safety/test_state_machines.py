"""The machines say what may follow, and nothing of a flow's text ever becomes code."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.helpers.jobs import good
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobAct, JobState
from wizard.engine.handlers.transaction import Rules
from wizard.engine.safety.state_machines import JobMachine, Moves, RunMachine, job_diagram
from wizard.flow.model import Answer, ChooseStep, Destination, Inspection


def test_a_job_is_worked_only_while_it_is_open():
    """Closed and stopped jobs take no work."""
    may = JobMachine().may
    assert [j for j in JobState if may(j, JobAct.WORK)] == [JobState.WORKING]
    assert [j for j in JobState if may(j, JobAct.VISIT)] == [JobState.STOPPED, JobState.CLOSED]
    assert [j for j in JobState if may(j, JobAct.RELEASE)] == [JobState.WORKING, JobState.STOPPED]


def test_what_may_be_done_with_a_job_is_all_of_this_and_no_more():
    """Stopped work can be made safe, stopped for one reason more, taken back as a slip, closed, and come back to."""
    may = JobMachine().may
    assert {(j, a) for j in JobState for a in JobAct if may(j, a)} == {
        (JobState.NEW, JobAct.BEGIN),
        *((JobState.WORKING, act) for act in (JobAct.WORK, JobAct.STOP, JobAct.RELEASE, JobAct.CLOSE)),
        *((JobState.STOPPED, act) for act in (JobAct.MAKE_SAFE, JobAct.STOP, JobAct.RELEASE, JobAct.CLOSE)),
        (JobState.STOPPED, JobAct.WITHDRAW),
        (JobState.STOPPED, JobAct.VISIT),
        (JobState.CLOSED, JobAct.VISIT),
    }


def test_the_picture_of_it_is_that_of_the_library():
    """Every edge that may be gone stands in it, and no other; the page for developers shows the same."""
    drawn = job_diagram()
    edges = {
        (JobState(source), JobAct(act))
        for source, acts in re.findall(r"^  (\w+) --> \w+: (.+)$", drawn, re.MULTILINE)
        for act in acts.split(" | ")
    }
    may = JobMachine().may
    assert edges == {(j, a) for j in JobState for a in JobAct if may(j, a)}
    page = Path(__file__).parents[3] / "DEVELOPERS.md"
    assert drawn in page.read_text(encoding="utf-8")


def test_every_answer_of_the_flow_is_a_transition():
    """The machine of runs knows each step's answers and no others."""
    machine = RunMachine(good())
    for inspection in good().inspections.values():
        for step in inspection.steps:
            assert machine.may_enter(inspection.id, step.id)
            for answer in step.answers:
                after = machine.after(inspection.id, step.id, answer.id)
                assert after == (answer.next.step or "end")
            assert machine.after(inspection.id, step.id, "no such") is None


def hostile(text: str) -> Rules:
    """A flow whose every id is the given text."""
    other = Answer(id="other", says="Other")
    step = ChooseStep(id=text, do="Do it.", reach="look", answers=(Answer(id=text, says=text), other))
    inspection = Inspection(id=text, title=text, minutes=1.0, steps=(step,))
    return Rules.of(replace(good(), inspections={text: inspection}, procedures=(), faults={}))


@pytest.mark.parametrize(
    "text",
    [
        "os.system",
        "__class__",
        "trigger",
        "may_t0",
        "builtins.exit",
        "states",
        "on_enter_s0",
        "is_s1",
        "to_s0",
        "initial",
    ],
)
def test_a_flows_words_are_never_code(text):
    """Dotted names, dunder names, the library's own words: all just ids."""
    rules = hostile(text)
    assert rules.runs.after(text, text, text) == "end"
    assert rules.runs.after(text, text, "none such") is None


def test_two_ways_on_for_one_answer_are_an_error():
    """The table must be a function."""
    with pytest.raises(ValueError, match="two ways"):
        Moves([("a", "x", "b"), ("a", "x", "c")])


def test_a_thousand_steps_make_a_machine_without_transitions_of_their_own():
    """The library's automatic ones would be a million."""
    moves = Moves([(n, "on", n + 1) for n in range(1000)])
    assert len(moves._machine.events) == 1
    assert moves.after(500, "on") == 501


def test_the_rules_of_a_flow_are_made_once_and_those_of_another_anew():
    """A case is played hundreds of times over one flow; a flow that only looks the same is another."""
    flow, other = good(), replace(good())
    rules = Rules.of(flow)
    assert Rules.of(flow) is rules and rules.flow is flow
    assert Rules.of(other).flow is other
    assert rules.model({"kind": "front-loader"}) is rules.model({"kind": "front-loader"})
    assert rules.model({"kind": "front-loader"}) is not rules.model({"kind": "top-loader"})


def test_an_act_that_is_not_there_needs_nothing_to_be_asked():
    rules = Rules.of(good())
    assert rules.next_step({"kind": "front-loader"}, {}, StepRef("nowhere", "step")) is None
    assert rules.next_step({"kind": "front-loader"}, {}, StepRef("dampers", "bounce")) is not None


def test_an_answer_that_may_be_given_so_often_goes_elsewhere_only_once_it_was():
    """'Try again', at most twice: until then it leads back to its own step."""
    back, on = Destination.to_step("try"), Destination.to_step("other")
    answers = (
        Answer(id="again", says="Again", next=back, most=2, then=on),
        Answer(id="always", says="Always", next=on, then=back),
        Answer(id="over", says="Over", next=back, most=1),
    )
    steps = tuple(
        ChooseStep(id=name, do="Do it.", reach="look", answers=answers) for name in ("try", "other")
    )
    inspection = Inspection(id="one", title="One", minutes=1.0, steps=steps)
    machine = RunMachine(replace(good(), inspections={"one": inspection}))
    assert machine.after("one", "try", "again") == "try"
    assert machine.after("one", "try", "again", exhausted=True) == "other"
    assert (
        machine.after("one", "try", "always")
        == machine.after("one", "try", "always", exhausted=True)
        == "other"
    )
    assert machine.after("one", "try", "over") == "try"
    assert machine.after("one", "try", "over", exhausted=True) == "end"


def test_a_flow_without_inspections_has_no_way_on():
    machine = RunMachine(replace(good(), inspections={}))
    assert machine.after("one", "try", "again") is None and not machine.may_enter("one", "try")
