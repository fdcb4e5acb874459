"""A drawing looks like the machine that the job is at: the one named, another in its place, or none."""

from __future__ import annotations

from itertools import product

import pytest

from wizard.domain.references import DrawingRef
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Drawing, Flow, fits
from wizard.flow.model.kind_drawing import drawn_for, may_show, shown_as

FLOWS = {name: load(folder) for name, folder in shipped().items()}

NO_SUCH_DRAWING = "other"
"""The kind of machine that looks like none of the drawings: twin tub, drawer, a lid over a lying drum."""


def drawing(name: str, kinds: tuple[str, ...] = (), instead: tuple[str, ...] = ()) -> Drawing:
    """A drawing of one cell."""
    return Drawing(name, ("x",), ("x",), {}, {}, {"kind": kinds} if kinds else {}, instead)


def kinds(flow: Flow) -> list[str]:
    """The kinds of machine that a flow asks for."""
    fact = flow.fact(flow.kind)
    assert fact is not None
    return [value.id for value in fact.values]


def shown(drawings: dict[str, Drawing], where: str, facts: dict[str, str]) -> str:
    """What is shown, as a file writes it; empty where nothing is."""
    return str(drawn_for(drawings, DrawingRef.parse(where), facts) or "")


def test_what_stands_in_the_place_of_another_is_shown_on_the_machines_that_look_so() -> None:
    """The region goes along; where none looks like the machine, or the kind isn't known, nothing is drawn."""
    some = {"box": drawing("box", ("front",)), "box-top": drawing("box-top", ("top",), ("box",))}
    assert shown(some, "box:drum", {"kind": "front"}) == "box:drum"
    assert shown(some, "box:drum", {"kind": "top"}) == "box-top:drum"
    assert shown(some, "box", {"kind": "top"}) == "box-top"
    assert shown(some, "box:drum", {"kind": "other"}) == shown(some, "box:drum", {}) == ""
    assert drawn_for(some, None, {"kind": "top"}) is None and shown(some, "lost:x", {}) == "lost:x"
    assert shown({"plug": drawing("plug")}, "plug:pin", {}) == "plug:pin"
    assert [d.id for d in shown_as(some, "box")] == ["box-top", "box"]


def test_a_drawing_of_a_kind_that_a_step_is_not_for_may_not_be_shown_there() -> None:
    """It may where the step is for that kind too, or says nothing of kinds."""
    top = drawing("top", ("hung", "base"))
    assert (
        may_show(top, {"kind": ("base", "front")}) and may_show(top, {}) and may_show(top, {"rings": ("1",)})
    )
    assert not may_show(top, {"kind": ("front",)})


@pytest.mark.parametrize(("name", "kind"), [(n, k) for n, f in FLOWS.items() for k in kinds(f)])
def test_no_machine_is_shown_as_one_of_another_kind(name: str, kind: str) -> None:
    """Every step of the shipped flows on every kind that it is for: what is drawn looks like that kind, and lights
    what it names.
    """
    flow, facts, left_out = FLOWS[name], {FLOWS[name].kind: kind}, set()
    for inspection in flow.inspections.values():
        if not fits({k: v for k, v in inspection.applies.items() if k == flow.kind}, facts):
            continue
        for step, (_key, where) in ((s, named) for s in inspection.steps for named in s.drawings):
            found = drawn_for(flow.drawings, where, facts)
            if found is None:
                left_out.add(f"{inspection.id}.{step.id}")
                continue
            drawn, region = found.drawing, found.region
            assert fits(flow.drawings[drawn].applies, facts), f"{inspection.id}.{step.id}"
            assert not region or region in flow.drawings[drawn].regions, f"{inspection.id}.{step.id}"
    assert bool(left_out) == (kind == NO_SUCH_DRAWING)


@pytest.mark.parametrize(
    ("kind", "where"), product(("top-hung", "top-base"), ("machine:drum", "drive:bearings"))
)
def test_a_top_loader_has_its_own_machine_and_drive(kind: str, where: str) -> None:
    """The drum stands upright, under a lid."""
    name, _, region = where.partition(":")
    assert shown(dict(FLOWS["washer-shake"].drawings), where, {"kind": kind}) == f"{name}-top:{region}"


def test_a_part_asks_the_same_reach_on_every_kind() -> None:
    """What stands in another's place asks of the hands what that one does."""
    for flow in FLOWS.values():
        for instead in flow.drawings.values():
            for name in instead.instead:
                other = flow.drawings[name]
                both = instead.regions.keys() & other.regions.keys()
                assert {r: instead.reaches.get(r) for r in both} == {r: other.reaches.get(r) for r in both}
