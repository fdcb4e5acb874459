"""Led by the evidence, no job asks a technician what was asked already, but where something changed in between."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from wizard.engine.messages import events as ev
from wizard.engine.messages.events import Recorded
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.cases.advised_play import compare
from wizard.flowcheck.cases.run_answers import run_answers

JOBS = ("feet-hung", "bearings-base", "drain-fl")
JOINTS = ("hoses-look.joints", "joints.dry", "hoses-pressure.tissue", "closing.hoses", "handover.turn")


@cache
def records(case: str) -> tuple[Recorded, ...]:
    """The events of a shipped job, led by the evidence."""
    flow = load(folder_of("washer-shake"))
    found = next(c for c in load_cases(folder_of("washer-shake"), flow) if c.id == case)
    played = compare(flow, found).advice
    assert played.ok, played
    return played.records


def answered(case: str) -> list[str]:
    """The steps that were answered, in their order."""
    return [f"{run.inspection}.{event.step}" for run, event in run_answers(records(case))]


@pytest.mark.parametrize("case", JOBS)
def test_a_hose_joint_is_asked_about_again_only_where_water_came_on_in_between(case: str) -> None:
    """Once with the pressure off, once under pressure; for anything else the taps were turned before it."""
    turned, asked = True, Counter[str]()
    for step in answered(case):
        if step in ("water.open", "water.relieve", "water.shut"):
            turned = True
        elif step in JOINTS:
            assert turned or step == "hoses-pressure.tissue", f"{step} after {dict(asked)}"
            asked[step] += 1
            turned = False
    assert max(asked.values()) == 1, asked


def test_level_is_measured_once_after_the_feet_were_set() -> None:
    """'Level on its feet' measures it, before power; the search's own four corners are not measured a second time."""
    found = [r.event for r in records("feet-hung")]
    at = next(n for n, event in enumerate(found) if isinstance(event, ev.RepairDone))
    runs = {e.run: e.inspection for e in found if isinstance(e, ev.Entered)}
    after = Counter(runs[e.run] for e in found[at:] if isinstance(e, ev.ReadingTaken))
    assert after["feet"] == 0 and after["close"] == 5


def test_what_takes_a_proof_of_dead_is_measured_again_before_the_drum_is_let_go() -> None:
    """Bearings at the belt first, then the basket: the terminals are proved dead once for the repair and, since it
    turned the rotor, once for both after it.
    """
    steps = answered("bearings-base")
    agreed = next(n for n, step in enumerate(steps) if step.startswith("consent"))
    measured = [n for n, step in enumerate(steps) if step == "dead.volts"]
    assert len(measured) == 2 and steps[measured[1] :].count("bearings-belt.streak") == 1, (agreed, measured)
