"""A tub jogged from above and from below: the drag that holds it is no noise, and both ways are asked in turn."""

from __future__ import annotations

import math

import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value
from wizard.engine.measuring import judging
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Reading
from wizard.flowcheck.cases.case_player import play

CORNERS = ("front left", "front right", "rear left", "rear right")
RULE = 0.0005


def jogged(above: tuple[float, ...], below: tuple[float, ...]) -> list[Value]:
    """Readings in mm of each corner after the jog from above and from below."""
    return [
        Value(f"{CORNERS[n]}, {name}", mm / 1000, RULE, n, way, CORNERS[n])
        for way, (name, each) in enumerate((("from above", above), ("from below", below)))
        for n, mm in enumerate(each)
    ]


def test_a_level_tub_that_drag_holds_is_level() -> None:
    """54 and 66 mm at every corner, as drag of 7 to 18 mm leaves a hung tub (common practice): no lean, to the
    rule.
    """
    lean, held = CALCULATORS["jogged-lean"].compute({"heights": jogged((54,) * 4, (66,) * 4)}, {})
    assert lean.mean == 0 and lean.uncertainty == pytest.approx(RULE * math.sqrt(2))
    assert held.mean == pytest.approx(0.012) and not held.judged


def test_a_low_corner_shows_through_the_drag() -> None:
    """One corner 16 mm low both times leans by 16 mm and twists by half of it, wherever drag left the tub."""
    heights = jogged((54, 54, 54, 70), (66, 66, 66, 82))
    lean, _held = CALCULATORS["jogged-lean"].compute({"heights": heights}, {})
    (twist,) = CALCULATORS["corner-twist"].compute({"gaps": heights}, {})
    assert lean.mean == pytest.approx(0.016) and twist.mean == pytest.approx(0.008)
    assert twist.uncertainty == pytest.approx(RULE) and twist.says == "lowest at the rear right"


def test_one_difference_read_both_ways_is_signed() -> None:
    """13 mm one way and -9 mm the other hang 2 mm apart, not 11; which side is minus changes nothing."""
    for sign in (1, -1):
        values = [
            Value("pressed", sign * 0.013, RULE, 0, 0, "left to right"),
            Value("lifted", -sign * 0.009, RULE, 0, 1, "left to right"),
        ]
        lean, held = CALCULATORS["jogged-lean"].compute({"heights": values}, {})
        assert lean.mean == pytest.approx(0.002) and held.mean == pytest.approx(0.022)


def test_one_jog_alone_is_refused() -> None:
    """What was read after one jog only says nothing of the lean."""
    with pytest.raises(ValueError, match="readings: one direction"):
        CALCULATORS["jogged-lean"].compute({"heights": jogged((54,) * 4, (66,) * 4)[:7]}, {})


def test_the_order_asked_is_the_order_worked_in() -> None:
    """Way by way: all corners after the first jog, then all after the second; otherwise both ways of each item."""
    reading = Reading("mm", 0, 1, "rule", places=("a", "b"), ways=("up", "down"), way_by_way=True, repeats=2)
    order = [(s.way, s.item, s.repeat) for s in judging.slots(reading, {})]
    assert order == sorted(order)
    plain = Reading("mm", 0, 1, "rule", places=("a", "b"), ways=("out", "in"))
    assert [(s.item, s.way) for s in judging.slots(plain, {})] == [(0, 0), (0, 1), (1, 0), (1, 1)]


def test_tubs_in_their_dead_band_pass_in_the_shipped_flow() -> None:
    """All three kinds of level tubs pass with what drag does to them, and those that lean fail."""
    folder = folder_of("washer-shake")
    flow = load(folder)
    cases = {case.id: case for case in load_cases(folder, flow)}
    wanted = {
        "normal-fl": "pass", "normal-hung": "pass", "normal-base": "pass",
        "springs-fl": "fail", "rods-hung": "fail", "springs-base-set": "fail", "way-watch-hung": "watch",
    }  # fmt: skip
    leans = ("bounce-hung.lean", "springs.lean", "springs-base.lean")
    for case, verdict in wanted.items():
        given = [p.text for p in play(flow, cases[case]).path if str(p.step) in leans]
        assert given[0] == verdict, case
