"""What hands do at the end, and what they find on the way, is not forgotten by what was believed before.

The hazards: a run without a cut-off in reach, a joint called dry with its tap off, hands in hot water, a machine that
walks on feet that nobody looked at, a valve that fills on by words alone, a cabinet lifted alone. Common practice.
"""

from __future__ import annotations

import pytest

from wizard.domain.references import StepRef
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.model.acts import acts, answer_effects
from wizard.safety import Ask, Belief, Model

FLOWS = {name: load(folder_of(name)) for name in ("washer-shake", "washer-no-drain")}
USUAL = {
    name: {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}
    for name, flow in FLOWS.items()
}


def model(flow: Flow, **facts: str) -> Model:
    """The machine as it usually is, but for these facts."""
    known = {**USUAL[next(n for n, f in FLOWS.items() if f is flow)], **facts}
    return Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), known)


def after(flow: Flow, machine: Model, belief: Belief, ref: str, answer: str) -> Belief:
    """What is believed once a step was shown and answered."""
    at = StepRef(*ref.split("."))
    step = flow.step(at)
    assert step is not None
    return machine.answer(machine.show(belief, at), at, answer_effects(step, [answer]))[0]


def put(machine: Model, **so: str) -> Belief:
    """Nothing is known but this."""
    return machine.put(machine.top(), {name.replace("_", "-"): frozenset({v}) for name, v in so.items()})


def asked(machine: Model, belief: Belief, reach: str, flow: Flow) -> list[str]:
    """The steps by which one comes to a reach, each answered as usual."""
    chain = machine.chain(belief, machine.needs(flow.reaches[reach].needs))
    assert isinstance(chain, tuple), chain
    return [str(act) for act in chain]


@pytest.mark.parametrize("flow", FLOWS.values(), ids=FLOWS)
@pytest.mark.parametrize("answer", ["on", "off"])
def test_the_cut_off_that_went_is_tested_before_another_run(flow, answer):
    machine = model(flow)
    believed = after(
        flow, machine, put(machine, rcd="ready", people="clear", marked="yes"), "handover.power", answer
    )
    assert believed["rcd"] == {"no"}
    assert "cut-off.test" in asked(machine, believed, "run", flow)
    if answer == "on":
        assert believed["marked"] == {"no"}, "the tag went with the bag"


@pytest.mark.parametrize("flow", FLOWS.values(), ids=FLOWS)
def test_whoever_was_called_to_the_machine_is_near_it(flow):
    machine = model(flow)
    shown = machine.show(put(machine, people="clear"), StepRef("handover", "shown"))
    assert shown["people"] == {"clear", "someone"}


@pytest.mark.parametrize("flow", FLOWS.values(), ids=FLOWS)
def test_a_joint_is_dry_only_with_its_tap_on(flow):
    """One that was wet, its tap off: the tap is opened before it is called dry, and before power."""
    machine = model(flow)
    wet = put(machine, joints="wet", taps="shut", hoses="on", supply="held")
    asks = machine.next_step(wet, {"joints": frozenset({"dry"})})
    assert isinstance(asks, Ask) and str(asks.act) != "joints.dry"
    assert machine.acts[StepRef("joints", "dry")].needs["taps"] == {"open"}


def test_a_tap_that_is_turned_off_says_nothing_of_its_joint():
    flow = FLOWS["washer-shake"]
    machine = model(flow)
    believed = after(flow, machine, put(machine, joints="wet", taps="open"), "handover.off", "off")
    assert believed["joints"] == {"wet"} and believed["taps"] <= {"shut", "relieved"}


def test_hands_go_into_a_top_loader_after_its_water():
    """Heat is felt at the lid alone: the water is let out by its hose before a hand is in the drum."""
    flow = FLOWS["washer-no-drain"]
    machine = model(flow, kind="top-loader")
    steps = asked(machine, machine.top(), "inside", flow)
    assert steps.index("empty.out") < steps.index("drum.wedge")


@pytest.mark.parametrize(
    ("step", "rough", "calm"),
    [
        ("sensing.big-bag", "runs", "refuses"),
        ("baseline.floor", "shakes", "still"),
        ("known-bag.spin", "shakes", "tolerated"),
        ("record-spin.rest", "short", "through"),
        ("buzz.again", "same", "gone"),
        ("proving-spin.full", "rough", "calm"),
    ],
)
def test_feet_are_not_known_after_a_rough_spin(step, rough, calm):
    flow = FLOWS["washer-shake"]
    machine, at = model(flow), StepRef(*step.split("."))
    before = put(machine, level="yes", weight="standing")
    answers = {a.id for a in flow.step(at).answers}
    assert after(flow, machine, before, step, rough)["level"] == {"yes", "no"}
    known = calm if calm in answers else next(a.id for a in flow.step(at).answers if a.usual)
    assert after(flow, machine, before, step, known)["level"] == {"yes"}
    assert flow.step(at).answer(known).known_of["level"] == "presumed"


def test_a_valve_that_filled_on_is_not_sound_by_words_alone():
    flow = FLOWS["washer-no-drain"]
    machine = model(flow)
    open_ = machine.put(machine.top(), {"fill": frozenset({"open"})})
    released = machine.release(open_, "fill")
    assert not released["fill"] <= {"sound"}
    assert not machine.holds(released, {"fill": flow.reaches["left-in-use"].needs["fill"]})
    assert after(flow, machine, released, "ready.fills", "stops")["fill"] == {"sound"}


@pytest.mark.parametrize("name", FLOWS)
def test_no_release_of_a_latch_is_the_good_value_itself(name):
    """What somebody says is over is asked anew: of each condition something else than the good is left."""
    flow, machine = FLOWS[name], model(FLOWS[name])
    for condition in flow.conditions.values():
        if condition.latch and machine.needs({condition.id: frozenset()}):
            latched = machine.put(machine.top(), {condition.id: condition.latch})
            assert len(machine.release(latched, condition.id)[condition.id]) > 1, condition.id


@pytest.mark.parametrize(("name", "kind"), [("washer-shake", "top-base"), ("washer-no-drain", "top-loader")])
def test_nobody_lifts_a_cabinet_alone(name, kind):
    """Every act of this machine that may take the cabinet off needs two, and terminals that are dead."""
    machine = model(FLOWS[name], kind=kind)
    lifting = [act for ref, act in machine.acts.items() if "off" in act.may.get("cabinet", ())]
    assert lifting
    for act in lifting:
        known = machine.put(machine.top(), act.needs)
        assert known["second"] == {"here"}, act
