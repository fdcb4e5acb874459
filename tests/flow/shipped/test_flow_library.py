"""The library of the machine: nobody is asked in circles, and the order is that of EN 50110-1."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from wizard.domain.references import StepRef
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.model.acts import acts
from wizard.safety import Barred, Model

FLOWS = Path(__file__).parents[3] / "flows"
LIBRARY = FLOWS / "library"
MACHINES = (
    {"kind": "front-loader", "motor": "inverter", "stack": "none", "drive": "belt"},
    {"kind": "front-loader", "motor": "capacitor-run", "stack": "electric", "drive": "direct"},
    {"kind": "top-hung", "motor": "brushed", "drive": "belt"},
    {"kind": "top-base", "motor": "not-known", "drive": "direct"},
    {"kind": "other", "motor": "inverter", "drive": "belt"},
)


@pytest.fixture(scope="module")
def flow() -> Flow:
    """A shipped flow, with the library in it."""
    return load(folder_of("washer-shake"))


def model(flow: Flow, facts: dict[str, str]) -> Model:
    """The machine with these facts."""
    return Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), facts)


PEOPLE = StepRef("before", "people")


@pytest.mark.parametrize("facts", MACHINES, ids=lambda f: f"{f['kind']}-{f['motor']}")
def test_every_step_is_reached_from_nothing_known(flow: Flow, facts: dict[str, str]) -> None:
    """Usual answers lead to each step and remedy; twice are asked only people, joints once taps were opened, and
    the taps of a top loader, that are off while its hoses are looked along.
    """
    machine = model(flow, facts)
    for act in machine.acts.values():
        chain = machine.chain(machine.top(), act.needs)
        assert not isinstance(chain, Barred), (act.id, chain)
        twice = {name for name, count in Counter(map(str, chain)).items() if count > 1}
        assert twice <= {"before.people", "joints.dry", "water.open"}, (act.id, chain)


@pytest.mark.parametrize("facts", MACHINES, ids=lambda f: f"{f['kind']}-{f['motor']}")
def test_the_order_is_disconnect_secure_verify(flow: Flow, facts: dict[str, str]) -> None:
    """EN 50110-1: disconnected fully and secured, verified dead, and only then hands behind a panel."""
    machine = model(flow, facts)
    chain = machine.chain(machine.top(), flow.reaches["terminals"].needs)
    assert not isinstance(chain, Barred)
    steps = ["before.danger", "power.plug", "power.try", "water.relieve", "drum.wedge"]
    steps += ["open.service", "dead.volts", "dead.again"]
    assert [str(act) for act in chain if str(act) in steps] == steps


def test_people_are_cleared_last_before_power(flow: Flow) -> None:
    """Who was sent out at arrival may be back: the room is cleared last, by an answer of its own, before power."""
    machine = model(flow, MACHINES[0])
    order = list(flow.conditions)
    known = {c: v for c, v in flow.reaches["run"].needs.items() if order.index(c) > order.index("people")}
    needs = flow.reaches["run"].needs
    believed = {**machine.top(), **machine.needs(known), "people": frozenset(("clear", "someone"))}
    chain = machine.chain(believed, needs)
    assert not isinstance(chain, Barred) and chain[-2:] == (PEOPLE, StepRef("power", "plug-in"))


def test_between_two_runs_only_the_room_is_cleared(flow: Flow) -> None:
    """The plug stays in, the cut-off is off: the run switches it on itself, once the room is clear."""
    machine = model(flow, MACHINES[0])
    needs = flow.reaches["run"].needs
    believed = {**machine.top(), **machine.needs(needs), "supply": frozenset(("cut",))}
    assert machine.chain(believed, needs) == ()
    assert machine.chain({**believed, "people": frozenset(("clear", "someone"))}, needs) == (PEOPLE,)


@pytest.mark.parametrize("name", ["gas", "outlet", "shell", "stand"])
def test_a_latch_bars_every_touch(flow: Flow, name: str) -> None:
    """What stopped work stops every hand until it is released."""
    machine = model(flow, MACHINES[0])
    believed = {**machine.top(), name: frozenset(("stopped",))}
    found = machine.next_step(believed, flow.reaches["touch"].needs)
    assert isinstance(found, Barred) and found.condition == name


def test_nothing_but_two_people_lifts_or_tilts_past_its_angle(flow: Flow) -> None:
    """The first lift of a washer is half of its weight; NIOSH gives 23 kg at best for one person (recalled)."""
    asking = {name for name, reach in flow.reaches.items() if "second" in reach.needs}
    assert asking == {"move", "lift", "set-down"}


def test_one_person_raises_an_edge_with_all_that_two_need_but_each_other(flow: Flow) -> None:
    """The lever makes it one person's work, and nothing else of what a tilt waits for is left out."""
    alone, two = flow.reaches["raise"].needs, flow.reaches["move"].needs
    assert {**alone, "second": {"here"}} == two
    assert {
        "stand",
        "supply",
        "verified",
        "motion",
        "taps",
        "sump",
        "dryer",
        "tub",
        "parts",
        "weight",
    } <= set(alone)


@pytest.mark.parametrize("kilograms", [65, 85, 105])
def test_half_a_washer_at_a_lever_of_three_to_one_is_within_what_one_may_lift(
    flow: Flow, kilograms: float
) -> None:
    """The law of the lever: a half of the weight, by the arms' 3 to 1, stays below the 23 kg of NIOSH (recalled)."""
    assert (
        "3 to 1" in flow.reaches["raise"].source
        and "three times" in flow.inspections["stand"].step("raise").expect
    )
    assert kilograms / 2 / 3 < 23 < kilograms / 2


def test_hands_go_under_only_where_blocks_or_props_hold_it(flow: Flow) -> None:
    """Nobody reaches under a machine that is held by hand or by a lever; the blocks go in by a stick before."""
    assert flow.reaches["under"].needs["weight"] == {"blocked", "propped"}
    assert "before any hand" in flow.inspections["stand"].step("raise").caution[0].says


IN_DRUM = ("drum", "behind", "inside", "terminals", "lift", "under")
"""Reaches with hands at work in the drum or further in."""


@pytest.mark.parametrize("name", IN_DRUM)
def test_hands_wait_for_a_drum_that_is_still_and_cool(flow: Flow, name: str) -> None:
    """Both are seen with the power off, asked for before hands go in, and known no more once power may be on."""
    machine = model(flow, MACHINES[0])
    needs = flow.reaches[name].needs
    assert (needs["motion"], needs["heat"]) == ({"still"}, {"cool"})
    held = {**machine.top(), **machine.needs(needs)}
    hot = {**held, "motion": frozenset(("turning", "still")), "heat": frozenset(("hot", "cool"))}
    chain = machine.chain(hot, needs)
    assert not isinstance(chain, Barred) and StepRef("power", "settled") in chain
    live = machine.settle({**held, "supply": frozenset(("live", "held"))})
    assert "turning" in live["motion"] and "hot" in live["heat"]


@pytest.mark.parametrize("name", ["behind", "inside", "terminals", "lift", "under"])
def test_hands_behind_a_panel_wait_for_relieved_taps(flow: Flow, name: str) -> None:
    """Shut is not enough: the pressure is let off before hands go in, and known no more after a while alone."""
    machine = model(flow, MACHINES[0])
    needs = flow.reaches[name].needs
    assert needs["taps"] == {"relieved"}
    known = {**machine.top(), **machine.needs(needs)}
    chain = machine.chain({**known, "taps": frozenset(("shut",))}, needs)
    assert not isinstance(chain, Barred) and StepRef("water", "relieve") in chain
    assert machine.away(known)["taps"] == {"open", "shut", "relieved"}


def test_power_waits_for_parts_panels_and_tools(flow: Flow) -> None:
    """A part that is off, a panel that is off or a tool not counted: a step of its own comes before the power."""
    machine = model(flow, MACHINES[1])
    needs = flow.reaches["run"].needs
    closed = {"parts": "on", "service": "on", "rear": "on", "top": "on", "front": "on", "tools": "out"}
    assert {c: needs[c] for c in closed} == {c: {value} for c, value in closed.items()}
    ready = {**machine.top(), **machine.needs(needs)}
    assert machine.chain(ready, needs) == ()
    for condition in closed:
        every = frozenset(machine.conditions[condition].values)
        assert machine.chain({**ready, condition: every}, needs), condition


def test_no_machine_is_left_with_a_wedge_in_its_drum(flow: Flow) -> None:
    """In use or out of use: whoever starts it next, or reaches in, doesn't know of it (common practice)."""
    rows = [flow.reaches[row].needs for row in ("left-in-use", "left-out-of-use")]
    assert [needs["wedge"] for needs in rows] == [{"out"}, {"out"}]


def test_what_the_library_goes_by_is_a_fact_of_a_shipped_flow():
    """A flow may leave a fact out, so a misspelt one is not its error: some shipped flow has each, with each value."""
    had = {
        (fact["id"], value["id"])
        for path in FLOWS.glob("*/flow.toml")
        for fact in tomllib.loads(path.read_text(encoding="utf-8"))["fact"]
        for value in fact.get("value", [])
    }
    asked = {
        (fact, value)
        for path in LIBRARY.rglob("*.toml")
        for applies in _applies(tomllib.loads(path.read_text(encoding="utf-8")))
        for fact, values in applies.items()
        for value in values
    }
    assert len(asked) > 8 and asked <= had


def _applies(tree: object) -> Iterator[dict[str, list[str]]]:
    """Every ``applies`` of a file, wherever it stands."""
    if isinstance(tree, dict):
        yield from [tree["applies"]] if "applies" in tree else []
        for branch in tree.values():
            yield from _applies(branch)
    elif isinstance(tree, list):
        for branch in tree:
            yield from _applies(branch)
