"""Machines as they are drawn: within their ranges, the same from the same seed, worse with each severity."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from tests.helpers.practice_jobs import KINDS, faulty, healthy, shipped_practice
from wizard.domain.vocabulary import FaultSeverity
from wizard.errors import FlowError
from wizard.flow.model import fits
from wizard.measure.quantities.units import span_to_si
from wizard.practice import practice_job
from wizard.practice.declaring.practice_vocabulary import (
    DERIVED,
    UNITS,
    ChangeHow,
    ChangeItems,
    MachineQuantity,
)
from wizard.practice.machines.practice_machine import draw_healthy, with_faults
from wizard.practice.observables import OBSERVABLES
from wizard.practice.practice_job import draw_causes, draw_scene

UP, DOWN = 1, -1
WORSE = [
    ("front-loader", "dampers-worn", "swings", UP),
    ("front-loader", "dampers-worn", "rest-gap", DOWN),
    ("front-loader", "dampers-worn", "settling-ratio", DOWN),
    ("front-loader", "dampers-worn", "customers-swing", UP),
    ("front-loader", "dampers-seized", "towels-shake", UP),
    ("front-loader", "dampers-seized", "stroke", UP),
    ("front-loader", "feet", "largest-foot-lift", UP),
    ("front-loader", "feet", "empty-shake", UP),
    ("front-loader", "floor", "customers-margin", DOWN),
    ("front-loader", "floor", "floor-share", UP),
    ("front-loader", "load", "customers-retries", UP),
    ("front-loader", "ring", "towels-shake", UP),
    ("front-loader", "spider", "empty-shake", UP),
    ("front-loader", "spider", "play-swing", UP),
    ("front-loader", "bearings", "run-down-turns", DOWN),
    ("front-loader", "bearings", "play-along", UP),
    ("front-loader", "springs", "lean", UP),
    ("front-loader", "counterweight", "towels-shake", UP),
    ("front-loader", "drain", "drain-time", UP),
    ("front-loader", "cabinet", "empty-shake", UP),
    ("top-hung", "rods", "swings", UP),
    ("top-hung", "straps", "customers-swing", UP),
    ("top-hung", "hub", "run-out", UP),
    ("top-base", "pads", "pad-thickness", DOWN),
    ("top-base", "pads", "swings", UP),
    ("top-base", "mount", "lean", UP),
]


@pytest.mark.parametrize(("kind", "fault", "observable", "way"), WORSE)
def test_what_a_fault_shows_grows_with_its_severity(kind: str, fault: str, observable: str, way: int) -> None:
    """From healthy to severe an observable never turns back, and ends otherwise than it began."""
    practice = shipped_practice()[1]
    able = (healthy(kind, seed) for seed in range(8))
    machine = next(m for m in able if fits(practice.faults[fault].applies, m.facts))
    machines = [replace(machine, lot=7, odd=0.3)]
    machines += [with_faults(practice, machines[0], {fault: severity}) for severity in FaultSeverity]
    seen = [way * OBSERVABLES[observable].value(m) for m in machines]
    assert all(a <= b + 1e-9 for a, b in pairwise(seen)), seen
    assert seen[-1] > seen[0]


def test_every_number_of_a_fault_goes_one_way() -> None:
    """What each change does to its quantity grows with severity: farther from 1, from 0, or the same (a place)."""
    for fault in shipped_practice()[1].faults.values():
        for change in fault.changes:
            if change.how is ChangeHow.TO:
                assert list(change.by) in (sorted(change.by), sorted(change.by, reverse=True)), (
                    fault.id,
                    change,
                )
                continue
            still = 1.0 if change.how is ChangeHow.TIMES else 0.0
            far = [abs(by - still) for by in change.by]
            assert far == sorted(far), (fault.id, change)
            assert len({by > still for by in change.by}) == 1, (fault.id, change)


@pytest.mark.parametrize("kind", KINDS)
def test_a_healthy_machine_lies_within_its_ranges(kind: str) -> None:
    """Every quantity of a machine without variations, each of whose items lies within four spreads of its range."""
    flow, practice = shipped_practice()
    plain = replace(practice, variations=())
    for seed in range(10):
        machine = draw_healthy(plain, flow, practice.machines[kind], np.random.default_rng(seed))
        for quantity in set(MachineQuantity) - DERIVED:
            spec = practice.machines[kind].quantities[quantity]
            low, high = (
                span_to_si(edge, UNITS[quantity])
                for edge in (spec.low - 4 * spec.spread, spec.high + 4 * spec.spread)
            )
            assert all(low - 1e-12 <= v <= high + 1e-12 for v in machine.items(quantity)), quantity
            assert len(machine.items(quantity)) == int(machine.facts[spec.per] if spec.per else spec.count)


def test_the_springs_follow_from_mass_and_bounce() -> None:
    """k = M (2 pi f)^2 (Thomson, 2.2), so that a lighter tub bounces faster on the same springs."""
    machine = healthy("front-loader", 3)
    stiff = machine.one(MachineQuantity.HUNG_MASS) * (2 * np.pi * machine.one(MachineQuantity.BOUNCE)) ** 2
    assert machine.one(MachineQuantity.STIFFNESS) == pytest.approx(stiff)
    lighter = faulty("front-loader", "counterweight", FaultSeverity.SEVERE, 3)
    assert OBSERVABLES["swing-period"].value(lighter) < OBSERVABLES["swing-period"].value(machine)


def test_the_same_seed_gives_the_same_machine_and_another_seed_another() -> None:
    """Kind, facts, quantities, faults and people."""
    flow, practice = shipped_practice()
    first, again, other = (draw_scene(practice, flow, 2, seed) for seed in (5, 5, 6))
    assert (first.machine.values, first.machine.facts) == (again.machine.values, again.machine.facts)
    assert (first.faults, first.crew, first.machine.lot) == (again.faults, again.crew, again.machine.lot)
    assert first.machine.values != other.machine.values


def test_a_change_of_one_item_leaves_the_others() -> None:
    """A rod that slides freely: its own drag falls far below that of the other three."""
    practice = shipped_practice()[1]
    one = [
        c
        for c in practice.faults["rods"].changes
        if c.items is ChangeItems.ONE and c.quantity is MachineQuantity.DRAG
    ]
    drags = faulty("top-hung", "rods", FaultSeverity.MODERATE, 1).items(MachineQuantity.DRAG)
    assert one
    assert min(drags) < 0.5 * sorted(drags)[1]


def test_a_machine_without_its_faults_is_the_healthy_one() -> None:
    """What is repaired leaves nothing behind."""
    base = healthy("top-base", 2)
    assert with_faults(shipped_practice()[1], base, {}).values == base.values


def test_causes_are_drawn_by_their_shares_and_never_one_that_stands_alone_beside_another() -> None:
    """600 hung top loaders: rods (26 %) are within 5 standard deviations; with two causes nothing is normal."""
    flow, practice = shipped_practice()
    rng = np.random.default_rng(1)
    found = Counter(f.id for _ in range(600) for f in draw_causes(practice, flow, "top-hung", 1, rng))
    share = flow.faults["rods"].share["top-hung"] / sum(
        flow.faults[f].share.get("top-hung", 0.0) for f in practice.faults if not practice.faults[f].beside
    )
    assert found["rods"] == pytest.approx(600 * share, abs=5 * (600 * share * (1 - share)) ** 0.5)
    pairs = [draw_causes(practice, flow, "top-hung", 2, rng) for _ in range(200)]
    assert all(len({f.id for f in pair}) == 2 for pair in pairs)
    assert not any(flow.faults[f.id].alone for pair in pairs for f in pair)


def test_causes_that_no_machine_can_have_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of facts that no machine draws is an error, not a machine without it."""
    flow, practice = shipped_practice()
    monkeypatch.setattr(practice_job, "DRAWS", 20)
    faults = {f.id: replace(f, applies={"age": ("never",)}) for f in practice.faults.values()}
    with pytest.raises(FlowError, match="Look at its applies"):
        draw_scene(replace(practice, faults=faults), flow, 1, 1)
