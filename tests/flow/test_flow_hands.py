"""Where hands and people are when a shipped flow gives power, and what is seen directly. Common practice throughout."""

from __future__ import annotations

import pytest

from wizard.diagnosis.network import build
from wizard.diagnosis.ranking import rank
from wizard.flow.load import load
from wizard.flow.model import Flow, Step
from wizard.flow.shipped import folder_of

FLOWS = ("washer-shake", "washer-no-drain")
SEEN = [
    ("top-hung", "strap-bad", "straps"),
    ("top-base", "spring-bad", "springs"),
    ("front-loader", "spring-bad", "springs"),
    ("front-loader", "block-moves", "counterweight"),
    ("front-loader", "drive-loose", "drive"),
    ("top-base", "drive-loose", "drive"),
    ("front-loader", "stack-moves", "stack"),
    ("front-loader", "transit-in", "transit"),
]
"""Kind, what is seen directly, and the fault that it all but proves."""


@pytest.fixture(scope="module")
def flows() -> dict[str, Flow]:
    """The shipped flows."""
    return {name: load(folder_of(name)) for name in FLOWS}


def step(flow: Flow, path: str) -> Step:
    """A step by its path."""
    inspection, _, name = path.partition(".")
    found = flow.inspections[inspection].step(name)
    assert found is not None
    return found


def warned(shown: Step) -> str:
    """What a step warns of, as one text."""
    return " ".join(c.says for c in shown.caution)


@pytest.mark.parametrize("name", FLOWS)
def test_people_go_out_before_the_plug_goes_in(flows: dict[str, Flow], name: str) -> None:
    """The plug is the last step of the gate to a test run, right after people and hands are clear."""
    (gate,) = flows[name].gate("proving")
    assert [s.id for s in gate.steps][-2:] == ["clear", "plug"]
    assert {a.stop for a in gate.steps[-2].answers} == {"", "people"}


@pytest.mark.parametrize("name", FLOWS)
def test_isolating_again_leaves_the_plug_out(flows: dict[str, Flow], name: str) -> None:
    """No gate to isolated asks for the machine's own pump before it has said that a plug that is out stays out."""
    asked = [s.do for g in flows[name].gate("isolated") for s in g.steps if "cancel" in s.do]
    assert asked and all(do.startswith("If ") and "already out, leave" in do for do in asked)


@pytest.mark.parametrize("name", FLOWS)
def test_nothing_is_energised_before_it_was_looked_at(flows: dict[str, Flow], name: str) -> None:
    """From arrival on the bar 'unseen' forbids power, and says so in words that fit the customer's paper."""
    unseen = flows[name].bars["unseen"]
    assert "energised" in unseen.forbids and unseen.says.startswith("It was not checked whether it is safe")


def test_reaching_in_warns_of_gas_and_a_scorched_plug_first(flows: dict[str, Flow]) -> None:
    """The quick checks can be the first that is opened: their first step says when to touch nothing."""
    shown = step(flows["washer-shake"], "quick.plug")
    assert shown.caution[0].word == "danger" and {"Gas", "scorched"} <= set(
        warned(shown).replace(",", "").split()
    )


def test_the_empty_spin_tries_its_cut_off_before_the_plug(flows: dict[str, Flow]) -> None:
    """Plug, lead and outlet are looked at and the RCD is tried on its button before the machine has power."""
    flow = flows["washer-shake"]
    ids = [s.id for s in flow.inspections["baseline"].steps]
    assert ids.index("earth") < ids.index("cut-off") < ids.index("plug") < ids.index("strike")
    assert "test button" in step(flow, "baseline.cut-off").do
    assert {a.id: a.next for a in step(flow, "baseline.cut-off").answers} == {"ready": "plug", "none": "end"}


def test_joints_are_wiped_with_the_cut_off_off(flows: dict[str, Flow]) -> None:
    """In the proving spin nothing runs in the steps that ask for hands, and the cut-off is off in them."""
    flow = flows["washer-shake"]
    for name in ("joints", "empty", "loaded", "load", "moved"):
        shown = step(flow, f"proving-spin.{name}")
        assert not shown.does and "cut-off" in shown.do.lower()


@pytest.mark.parametrize("fault", ["dampers-worn", "dampers-seized"])
def test_new_dampers_warn_of_the_tilt(flows: dict[str, Flow], fault: str) -> None:
    """The remedy warns as the inspection of the dampers does: crush, 15 degrees, never past 20."""
    remedy = flows["washer-shake"].faults[fault].remedy
    assert remedy is not None and remedy.people == 2
    said = " ".join(says for _word, says in remedy.caution)
    assert (
        "crush" in said and "15 degrees, never past 20" in said and "support the tub" in " ".join(remedy.do)
    )


def test_closing_up_warns_of_tilt_and_weight(flows: dict[str, Flow]) -> None:
    """Setting the feet warns of what falls, says that nobody tilts it alone, and what it weighs."""
    said = warned(step(flows["washer-shake"], "close.stand"))
    assert "Only two people tilt it" in said and "65 kg" in said


@pytest.mark.parametrize(("kind", "seen", "fault"), SEEN)
def test_what_is_seen_directly_all_but_proves_its_fault(
    flows: dict[str, Flow], kind: str, seen: str, fault: str
) -> None:
    """With nothing else known, a part seen torn, off or loose puts its fault on top, above 0.8."""
    first = rank(build(flows["washer-shake"], {"kind": kind}), {seen: 1.0})[0]
    assert first.fault == fault and first.probability > 0.8
