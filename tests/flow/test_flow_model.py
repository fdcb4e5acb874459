"""The model: steps know their answers, inspections where they lead, reaches all their needs, the flow its acts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.flows.flow_folders import GOOD, edited, good
from wizard.domain.references import END, Destination, RepairRef, StepRef
from wizard.flow.loading.flow_loader import load, load_files
from wizard.flow.model import Answer, ChooseStep, Flow, Inspection, LookStep, TellStep
from wizard.flow.model.acts import acts, answer_effects, step_needs
from wizard.safety import Ask, Model

FACTS = {"kind": "front-loader", "dampers": "3", "stacked": "no"}


@pytest.fixture(scope="module")
def flow() -> Flow:
    return load(GOOD)


def test_a_step_leads_where_its_answers_do_not_say() -> None:
    """An answer without next takes the step's; the step without one takes the next in the file; the last ends."""
    answers = (Answer(id="on"), Answer(id="back", next=Destination.to_step("a")))
    first = ChooseStep(id="a", do="Look.", reach="look", answers=answers)
    second = TellStep(id="b", do="Look.", reach="look")
    one = Inspection("i", "I", 1, (first, second))
    assert [str(a.next) for a in one.steps[0].answers] == ["b", "a"]
    assert one.steps[1].next == END
    again = replace(one.steps[0], next=END)
    assert [str(a.next) for a in again.answers] == ["b", "a"], "answers say it themselves by then"


def test_the_steps_of_a_procedure_lead_to_the_end() -> None:
    """Each of them is asked on its own."""
    steps = (TellStep(id="a", do="Look.", reach="look"), TellStep(id="b", do="Look.", reach="look"))
    assert [s.next for s in Inspection("p", "P", 1, steps, procedure=True).steps] == [END, END]


def test_a_look_has_yes_and_no() -> None:
    """The one that is left out is there; words that are given stay."""
    step = LookStep(id="a", do="Is it?", reach="look", answers=(Answer(id="no", says="Not at all"),))
    assert [(a.id, a.says) for a in step.answers] == [("no", "Not at all"), ("yes", "Yes")]


def test_the_library_is_part_of_the_flow(flow: Flow) -> None:
    """Its conditions and procedures come first, in its order; the flow's own follow, then what is asked last."""
    order = list(flow.conditions)
    assert order.index("transit") < order.index("tape") < order.index("people"), "which the library puts last"
    assert order.index("hoses") < order.index("transit")
    assert flow.procedures[-2:] == ("quick", "ready") and flow.inspections["power"].procedure
    assert not flow.inspections["ready"].procedure
    assert {"scorched", "not-ready"} <= set(flow.stops)


def test_a_reach_has_the_needs_of_those_it_comes_from_and_of_the_flow(flow: Flow) -> None:
    """inside comes from drum, which comes from touch; run needs what this flow adds, and nothing else of it does."""
    inside, drum, touch = (flow.reaches[name].needs for name in ("inside", "drum", "touch"))
    for stricter, weaker in ((inside, drum), (drum, touch)):
        assert all(stricter[condition] <= allowed for condition, allowed in weaker.items())
    assert flow.reaches["run"].needs["tape"] == {"yes"}
    assert [name for name, reach in flow.reaches.items() if "tape" in reach.needs] == ["run"]


def test_what_a_flow_adds_is_inherited() -> None:
    """A need added to a reach is a need of all that come from it."""
    files = edited(
        "flow.toml", 'id = "run"\n', 'id = "touch"\nneeds = { tape = ["yes"] }\n\n[[reach]]\nid = "run"\n'
    )
    flow = load_files(files, known=lambda _: True)
    assert flow.reaches["under"].needs["tape"] == flow.reaches["touch"].needs["tape"] == {"yes"}


def test_alone_is_closed(flow: Flow) -> None:
    """Each value may stay, and may turn into whatever its turns may turn into: by walking them one by one."""
    for condition in flow.conditions.values():
        for value, turns in condition.alone.items():
            assert value in turns
            assert all(condition.alone[turn] <= turns for turn in turns)


def test_the_digest_is_of_the_library_too() -> None:
    """A flow with another library is another flow, and kept copies hold what they were worked by."""
    files = good()
    changed = {**files, "library/machine.toml": files["library/machine.toml"] + b"\n"}
    assert load_files(changed).digest != load_files(files).digest


def test_acts_are_steps_and_remedies(flow: Flow) -> None:
    """Each step and each remedy once; those of procedures first, in the order of asking, and only they establish."""
    made = acts(flow)
    steps = [StepRef(i.id, s.id) for i in flow.inspections.values() for s in i.steps]
    assert sorted(map(repr, (act.id for act in made))) == sorted(
        map(repr, [*steps, *map(RepairRef, flow.faults)])
    )
    first = [StepRef(name, step.id) for name in flow.procedures for step in flow.inspections[name].steps]
    assert [act.id for act in made][: len(first)] == first
    assert [act.id for act in made if act.establishes] == first
    act = next(act for act in made if str(act.id) == "dampers.pull")
    step = flow.inspections["dampers"].steps[1]
    assert act.needs == step_needs(flow, step) and act.needs["front"] == {"off"}
    assert set(act.needs) >= set(flow.reaches["inside"].needs)


def test_several_ticked_answers_say_all_of_it() -> None:
    """Those ticked say what is so, those left alone what is so without them."""
    on, off = {"a": frozenset(("on",))}, {"a": frozenset(("off",))}
    other = {"b": frozenset(("on",))}
    answers = (Answer(id="x", so=on, unticked_so=off), Answer(id="y", so=other))
    step = ChooseStep(id="s", do="Look.", reach="look", many=True, answers=answers)
    assert answer_effects(step, ["x", "y"]) == {**on, **other}
    assert answer_effects(step, ["x"]) == on
    assert answer_effects(step, []) == off
    assert answer_effects(replace(step, many=False), []) == {}


def test_every_need_can_be_asked_for(flow: Flow) -> None:
    """From nothing known, by usual answers, every step and every remedy of this flow comes to be allowed."""
    model = Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), FACTS)
    for act in model.acts.values():
        assert isinstance(model.chain(model.top(), act.needs), tuple), act.id


def test_the_first_that_is_asked_is_before_anything_is_touched(flow: Flow) -> None:
    """Hands inside: the library's first condition is asked first."""
    model = Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), FACTS)
    ask = model.next_step(model.top(), flow.reaches["inside"].needs)
    assert isinstance(ask, Ask) and ask.condition == next(iter(flow.conditions))
