"""A reading speaks by how far it is off; what is known of the machine forbids 'no fault'.

Common practice: a damper that pulls 60 N is good, 40 N is going, 20 N is worn out. Evidence in between is an estimate.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from wizard.diagnosis.network_builder import build
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.domain.vocabulary import AnswerHow, FaultSeverity, Phase
from wizard.engine.guidance.session_ranking import likely_severity
from wizard.engine.handlers.taken_answer import evidence_of, grades_of
from wizard.engine.measuring import judging
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, State
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


def test_a_reading_says_how_bad_it_is():
    """Near 40 N mild is likeliest, near 18 N severe (common practice: 60 N good, 40 N going, 20 N worn out)."""
    going, worn = (pulled(n).evidence["damper-drag-low"] for n in (42, 16))
    assert isinstance(going, GradedEvidence) and isinstance(worn, GradedEvidence)
    assert max(going.log_ratios) == going.log_ratios[0] and max(worn.log_ratios) == worn.log_ratios[2]


def test_a_graded_word_says_how_bad_it_is_too():
    """No drag at all is severe; weak all over moderate."""
    step = flow().inspections["dampers"].step("stroke")
    dead, weak = (evidence_of(step, (answer,))["damper-drag-low"] for answer in ("dead", "weak"))
    assert isinstance(dead, GradedEvidence) and max(dead.log_ratios) == dead.log_ratios[2]
    assert isinstance(weak, GradedEvidence) and max(weak.log_ratios) == weak.log_ratios[1]
    assert dead == pytest.approx(0.95) and weak == pytest.approx(0.7)


def test_grades_come_back_from_what_is_kept():
    """The record holds plain numbers; the evidence made of it knows severities again, of another size not."""
    found = pulled(42).evidence
    given = AnswerRecord(
        1, "", 1, 1, "dampers", "pull", Phase.BEFORE, ("watch",), AnswerHow.ANSWER, "end",
        evidence={f: float(e) for f, e in found.items()}, grades=grades_of(found),
    )  # fmt: skip
    again = given.graded_evidence["damper-drag-low"]
    assert isinstance(again, GradedEvidence)
    assert again.log_ratios == pytest.approx(found["damper-drag-low"].log_ratios, abs=1e-6)
    assert not isinstance(
        replace(given, grades={"damper-drag-low": (1.0,)}).graded_evidence["damper-drag-low"], GradedEvidence
    )


def test_severity_is_said_where_a_reading_backs_it():
    """Dampers that pull 15 N after bangs: likely severe; by words alone nothing is said of it."""
    network = build(flow(), {"kind": "front-loader", "dampers": "3"})
    told = {"bang-in-ramp": 1.0, "worse-over-months": 1.0}
    read = told | {"damper-drag-low": pulled(15).evidence["damper-drag-low"]}
    assert likely_severity(network, read, "dampers-worn") is FaultSeverity.SEVERE
    assert likely_severity(network, told | {"damper-drag-low": 0.99}, "dampers-worn") is None
    assert likely_severity(network, read, "bearings") is None
