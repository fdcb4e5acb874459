"""The machines say what may follow, and nothing of a flow's text ever becomes code."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.jobs import good
from wizard.domain.vocabulary import JobAct, JobState
from wizard.engine.handlers.transaction import Rules
from wizard.engine.safety.state_machines import JobMachine, Moves, RunMachine
from wizard.flow.model import Answer, ChooseStep, Inspection


def test_a_job_is_worked_only_while_it_is_open():
    """Closed and stopped jobs take no work."""
    may = JobMachine().may
    assert [j for j in JobState if may(j, JobAct.WORK)] == [JobState.WORKING]
    assert [j for j in JobState if may(j, JobAct.VISIT)] == [JobState.STOPPED, JobState.CLOSED]
    assert [j for j in JobState if may(j, JobAct.RELEASE)] == [JobState.WORKING, JobState.STOPPED]


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
