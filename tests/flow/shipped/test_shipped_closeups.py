"""The parts in hand are drawn from close by: which steps show one, and that both forms of each drawing agree."""

from __future__ import annotations

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Drawing, Flow
from wizard.flow.parsing.drawing_parser import COLUMNS, ROWS

FLOWS = {name: load(folder) for name, folder in shipped().items()}
DRAWINGS = [(flow.id, drawing) for flow in FLOWS.values() for drawing in flow.drawings.values()]

PARTS = {
    "dampers": {"damper"},
    "springs": {"spring"},
    "springs-base": {"spring"},
    "rods": {"rod", "strap"},
    "pads": {"pad"},
    "weights": {"weight", "damper"},
    "feet": {"foot"},
    "close": {"foot"},
    "ring": {"balance-ring"},
    "ring-top": {"balance-ring"},
    "spider": {"rim", "bearing"},
    "basket": {"hub", "rim"},
    "bearings-belt": {"bearing"},
    "bearings-direct": {"bearing"},
    "drive-belt": {"bearing"},
    "drive-direct": {"bearing"},
    "hoses": {"coupling"},
    "hoses-look": {"coupling"},
    "hoses-pressure": {"coupling"},
    "earth-check": {"earth-pin"},
    "dead": {"tester"},
    "foot-nuts": {"foot"},
    "feet-out": {"foot"},
    "rear-feet": {"lever"},
    "stand": {"foot", "lever"},
    "casters": {"caster"},
    "close-casters": {"caster"},
    "panels": {"clip"},
    "mounts": {"mount"},
    "hangs": {"mount"},
    "stacked": {"clamp"},
    "pedestal": {"clamp"},
    "bounce": {"swing"},
    "bounce-hung": {"swing"},
    "filter": {"filter"},
    "sump": {"filter"},
    "drain": {"standpipe"},
    "proving-spin": {"standpipe"},
    "object": {"rim"},
    "no-spin": {"transit", "latch", "drum-gap"},
    "door": {"latch"},
    "drum": {"wedge"},
    "cut-off": {"earth-pin"},
}
"""The inspections of the shake flow with a part in hand, each with the drawings of that part."""

OF_A_PART = {
    "front-loader": {"dampers", "springs", "ring", "counterweight", "drum"},
    "top-hung": {"rods", "straps"},
    "top-base": {"springs", "pads"},
    "basket": {"ring", "hub"},
    "drive": {"bearings"},
}
"""Regions of the whole machine that are the part in hand where hands go to them."""

FROM_AFAR = {"bounce.recorded"}
"""Steps that light such a part and have a phone at the tub, where the part shows by how it swings. Those that ask at
which place it was look at the whole machine too.
"""

NO_PART = {
    "arrival", "quick", "baseline", "buzz", "known-bag", "known-bag-top", "sensing", "handover", "leave-safe",
    "leaving", "before", "before-spin", "round-front", "round-top", "power", "power-dryer", "open", "open-cabinet",
    "closing", "closing-cabinet", "hooking", "hooking-cabinet", "water", "refill", "dryer", "tub", "tub-held",
    "support", "support-base", "dead-bus", "dead-capacitor", "dead-unsure",
    "in-drum", "bail", "cooling", "empty", "ready", "look",
    "pump-run",
    "cause", "heat-run", "heat-proof", "earth-wired", "legs",
}  # fmt: skip
"""Inspections and procedures that look at the room, the load, the whole machine or its panels, controls and taps, or
listen to a run: no one part is in hand.
"""


@pytest.fixture
def flow() -> Flow:
    """The flow of a washer that shakes."""
    return FLOWS["washer-shake"]


@pytest.mark.parametrize("inspection", PARTS)
def test_every_inspection_with_a_part_in_hand_shows_it_from_close_by(flow: Flow, inspection: str) -> None:
    """Its close-ups are of that part."""
    steps = flow.inspections[inspection].steps
    assert {step.closeup.drawing for step in steps if step.closeup} == PARTS[inspection]


def test_a_step_that_lights_a_part_for_the_hands_shows_it_from_close_by(flow: Flow) -> None:
    """Where the machine lights dampers, springs, rods, pads, ring, rim, hub or bearings, a close-up stands too."""
    lacking = {
        f"{inspection.id}.{step.id}"
        for inspection in flow.inspections.values()
        for step in inspection.steps
        if step.drawing
        and step.drawing.region in OF_A_PART.get(step.drawing.drawing, ())
        and not step.closeup
        and not step.where
    }
    assert lacking == FROM_AFAR


@pytest.mark.parametrize("name", FLOWS)
def test_no_inspection_with_a_part_to_look_at_is_without_a_closeup(name: str) -> None:
    """All but those that have none in hand; a drawing of it lights it in place."""
    acts = ("choose", "look", "measure")
    lacking = {
        i.id
        for i in FLOWS[name].inspections.values()
        if any(s.kind in acts and s.reach not in ("", "talk") for s in i.steps)
        and not any(s.closeup for s in i.steps)
    }
    assert lacking <= NO_PART, lacking - NO_PART


@pytest.mark.parametrize("name", FLOWS)
def test_beside_every_closeup_stands_another_drawing_of_where_it_is(name: str) -> None:
    """The whole machine is one key away, and lights something."""
    for inspection in FLOWS[name].inspections.values():
        for step in inspection.steps:
            if step.closeup:
                near, whole = step.closeup, step.drawing
                assert near.drawing != whole.drawing and near.region and whole.region, (
                    f"{inspection.id}.{step.id}"
                )


@pytest.mark.parametrize(("flow_id", "drawing"), DRAWINGS, ids=lambda x: x if isinstance(x, str) else x.id)
def test_both_forms_of_a_drawing_have_one_shape(flow_id: str, drawing: Drawing) -> None:
    """Row by row as long, blank where the other is blank, words the same: what is lit is the same in both."""
    assert len(drawing.rows) == len(drawing.plain) <= ROWS
    for row, plain in zip(drawing.rows, drawing.plain, strict=True):
        assert len(row) == len(plain) <= COLUMNS and plain.isascii(), (flow_id, row)
        for drawn, typed in zip(row, plain, strict=True):
            assert (drawn == " ") == (typed == " ") and (not drawn.isascii() or drawn == typed), (row, plain)


def test_a_part_that_is_lit_is_drawn_there(flow: Flow) -> None:
    """A region of a close-up, and of a part on the whole machine, has lines in it, not blanks alone beside them."""
    shown = {
        (near, region) for near in set().union(*PARTS.values()) for region in flow.drawings[near].regions
    }
    shown |= {(whole, region) for whole, regions in OF_A_PART.items() for region in regions}
    for name, region in shown - {("front-loader", "drum")}:
        drawing = flow.drawings[name]
        cells = {drawing.rows[row].ljust(COLUMNS)[column] for row, column in drawing.regions[region]}
        assert cells - {" "}, (name, region)
