"""The machines say what may follow, and nothing of a flow's text ever becomes code."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import Job, good

from wizard.engine.draft import Rules
from wizard.engine.machine import JobMachine, Moves, RunMachine, SafetyMachine
from wizard.engine.safety import Stance, holds, route
from wizard.flow.model import STATES, Answer, Inspection, Step


def test_the_table_of_safety_moves_is_the_trades():
    """covered > isolated > proved dead and back; isolated > wet > isolated; isolated or wet > proving > covered."""
    machine = SafetyMachine()
    gates = {(s, t) for s in (*STATES, "stopped") for t in STATES if machine.may_pass(s, "gate", t)}
    assert gates == {
        *((s, "isolated") for s in STATES),
        ("isolated", "proved-dead"),
        ("isolated", "wet"),
        ("isolated", "proving"),
        ("wet", "proving"),
    }


@pytest.mark.parametrize("state", [*STATES, "stopped"])
def test_no_state_but_covered_is_reached_by_a_lapse_or_a_restart(state):
    """Whatever ends without a gate ends in 'covered', or stays stopped."""
    machine = SafetyMachine()
    for why in ("restart", "lapse", "pause", "correction", "visit"):
        assert [t for t in (*STATES, "stopped") if machine.may_pass(state, why, t)] in (["covered"], [])


def test_any_state_may_be_stopped_and_only_a_visit_leads_back():
    """Stopped is left by a new visit alone."""
    machine = SafetyMachine()
    assert all(machine.may_pass(s, "stop", "stopped") for s in STATES)
    whys = ("gate", "restart", "lapse", "pause", "correction", "visit", "spin-over", "closed-up")
    assert [w for w in whys if any(machine.may_pass("stopped", w, t) for t in STATES)] == ["visit"]


def test_a_job_is_worked_only_while_it_is_open():
    """Closed and stopped jobs take no work."""
    may = JobMachine().may
    assert [j for j in ("new", "working", "stopped", "closed") if may(j, "work")] == ["working"]
    assert [j for j in ("new", "working", "stopped", "closed") if may(j, "visit")] == ["stopped", "closed"]


def test_every_answer_of_the_flow_is_a_transition():
    """The machine of runs knows each step's answers and no others."""
    machine = RunMachine(good())
    for inspection in good().inspections.values():
        for step in inspection.steps:
            assert machine.may_enter(inspection.id, step.id)
            for answer in step.answers:
                after = machine.after(inspection.id, step.id, answer.id)
                assert after == (answer.next if not answer.next.startswith("stop:") else "end")
            assert machine.after(inspection.id, step.id, "no such") is None


def hostile(text: str) -> Rules:
    """A flow whose every id is the given text."""
    step = Step(text, "tell", "Do it.", (Answer(text, text),))
    inspection = Inspection(text, text, (step,))
    return Rules.of(replace(good(), inspections={text: inspection}))


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
    assert rules.runs.after(text, text, "other") is None


def test_two_ways_on_for_one_answer_are_an_error():
    """The table must be a function."""
    with pytest.raises(ValueError, match="two ways"):
        Moves([("a", "x", "b"), ("a", "x", "c")])


def test_a_thousand_steps_make_a_machine_without_transitions_of_their_own():
    """The library's automatic ones would be a million."""
    moves = Moves([(n, "on", n + 1) for n in range(1000)])
    assert len(moves._machine.events) == 1
    assert moves.after(500, "on") == 501


@pytest.mark.parametrize("restored", [True, False])
@pytest.mark.parametrize("safety", STATES)
def test_where_each_kind_of_inspection_may_be_worked(safety, restored):
    """The table of the safety rules, written out once more by hand."""
    stance = Stance(safety, restored)
    of = {s: Inspection("", "", (), states=(s,)) for s in STATES}
    assert holds(of["covered"], stance) == (safety in ("covered", "isolated", "proved-dead"))
    assert holds(of["isolated"], stance) == (safety in ("isolated", "proved-dead"))
    assert holds(of["proved-dead"], stance) == (safety == "proved-dead")
    assert holds(of["wet"], stance) == (safety == "wet")
    assert holds(of["proving"], stance) == (safety == "proving")
    energised = Inspection("", "", (), states=("covered",), energised=True)
    assert holds(energised, stance) == (safety == "covered" and restored)


def test_nothing_may_be_worked_while_stopped():
    """Not even what needs no state at all."""
    assert not holds(Inspection("", "", ()), Stance("stopped", True))


def test_the_way_to_a_covered_energised_step_leads_through_the_proving_gate_once_opened():
    """After isolation the machine is closed up by its gate before anybody switches it on."""
    flow, facts = good(), Job().state.facts
    target = Inspection("", "", (), states=("covered",), energised=True)
    moves = route(flow, facts, Stance("isolated", False), target)
    assert [m.gate or m.drop for m in moves] == ["restore", "covered"]
    after_lapse = route(flow, facts, Stance("covered", False), target)
    assert [m.gate or m.drop for m in after_lapse] == ["isolate", "restore", "covered"]


def test_from_proving_to_isolated_the_whole_gate_is_asked():
    """No free way into a state that protects."""
    moves = route(
        good(), Job().state.facts, Stance("proving", True), Inspection("", "", (), states=("isolated",))
    )
    assert [m.gate for m in moves] == ["isolate"]
    dead = route(
        good(), Job().state.facts, Stance("wet", False), Inspection("", "", (), states=("proved-dead",))
    )
    assert [m.gate for m in dead] == ["isolate", "dead"]
