"""A reading speaks by how far it is off; what is known of the machine forbids 'no fault'.

Common practice: a damper that pulls 60 N is good, 40 N is going, 20 N is worn out. Evidence in between is an estimate.
"""

from __future__ import annotations

from functools import cache

import pytest

from wizard.domain.vocabulary import Phase
from wizard.engine.measuring import judging
from wizard.engine.state.job_state import ReadingRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow, MeasureStep


@cache
def flow() -> Flow:
    return load(shipped()["washer-shake"])


def reading(slot: judging.Slot, value: float) -> ReadingRecord:
    return ReadingRecord(
        seq=1, at="", run=1, step="pull", item=slot.item, way=slot.way, repeat=slot.repeat, value=value,
        typed=f"{value:g}", unit="N", tool="pull-scale", place="", visit=1,
        inspection="dampers", phase=Phase.BEFORE,
    )  # fmt: skip


def pulled(*newtons: float, dampers: str = "3") -> judging.JudgedOutcome:
    """Each damper pulled this hard, N, three times out and in."""
    step = flow().inspections["dampers"].step("pull")
    assert isinstance(step, MeasureStep)
    facts = {"kind": "front-loader", "dampers": dampers}
    slots = judging.slots(step.reading, facts)
    taken = [reading(s, newtons[s.item % len(newtons)]) for s in slots]
    return judging.judge_readings(JobView.of(flow(), State(facts=facts)), step, taken)


def test_the_weaker_it_pulls_the_louder_it_speaks():
    low = [pulled(n).evidence["damper-drag-low"] for n in (70, 60, 50, 45, 40, 35, 28, 18)]
    assert low == sorted(low)
    assert low[1] < 0.1 and 0.7 < low[4] < 0.99 and low[-1] > 0.99


def test_one_of_three_speaks_for_all_of_them():
    assert pulled(60, 60, 60).evidence["damper-drag-low"] < 0.1
    assert pulled(60, 60, 36).evidence["damper-drag-low"] > 0.9


def test_stiff_and_weak_are_told_apart():
    stiff = pulled(130).evidence
    assert stiff["damper-drag-high"] > 0.99 and stiff["damper-drag-low"] < 0.05


def test_a_limit_that_says_nothing_typical_goes_by_its_bands():
    found = pulled(20, dampers="not-known")
    assert found.evidence["damper-drag-low"] == pytest.approx(1.0)
    assert pulled(100, dampers="not-known").evidence["damper-drag-low"] == pytest.approx(0.0, abs=1e-9)
