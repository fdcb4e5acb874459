"""The usual readings of the shipped flows: on every machine that a step is for, a healthy one passes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import pytest

from wizard.domain.vocabulary import Phase, Verdict
from wizard.engine.measuring import judging
from wizard.engine.state.job_state import ReadingRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow, Inspection, MeasureStep, fits
from wizard.flow.rules.machine_fact_rules import machines

NAMES = ("washer-shake", "washer-no-drain", "dryer-no-heat")


def read(flow: Flow, inspection: Inspection) -> Iterator[tuple[MeasureStep, Mapping[str, str]]]:
    """Each step of an inspection that is measured and judged, with every machine of facts that it is for."""
    for step in inspection.steps:
        if isinstance(step, MeasureStep) and step.limit:
            limits = flow.limits[step.limit]
            facts = {*inspection.applies, *(f for one in limits for f in one.applies), step.reading.each}
            yield from ((step, m) for m in machines(flow, facts) if fits(inspection.applies, m))


def judged(flow: Flow, step: MeasureStep, machine: Mapping[str, str]) -> judging.JudgedOutcome:
    """What is said of the usual reading of a step, read with its own tool as often as the step asks."""
    view = JobView.of(flow, State(facts=machine))
    usual = judging.usual_of(view, step)
    assert usual is not None, f"{step.id} has no usual reading"
    slots = judging.slots(step.reading, machine)
    taken = [
        ReadingRecord(0, "", 0, 0, "", step.id, Phase.BEFORE, s.item, s.way, s.repeat, usual, "", "", "", "")
        for s in slots
    ]
    return judging.judge_readings(view, step, taken)


def test_a_level_of_a_tenth_of_a_degree_passes() -> None:
    """0.1 deg, the last digit of the tool, read as laid and turned round; half a degree may be more than that."""
    flow = load(folder_of("washer-shake"))
    (limit,) = flow.limits["slope"]
    tool = flow.tools["inclinometer"]
    blur = math.hypot(tool.uncertainty, tool.resolution / math.sqrt(12)) / math.sqrt(2)  # (a - b) / 2
    tenth, half = (judging.against("level", math.radians(d), blur, 1, limit).verdict for d in (0.1, 0.5))
    assert (tenth, half) == (Verdict.PASS, Verdict.WATCH)


@pytest.mark.parametrize("name", NAMES)
def test_no_usual_reading_is_watched(name: str) -> None:
    """With the uncertainty of its own tool it passes: nobody is left with 'watch' on a sound machine."""
    flow, seen = load(folder_of(name)), 0
    for inspection in flow.inspections.values():
        for step, machine in read(flow, inspection):
            said = judged(flow, step, machine)
            assert said.verdict is Verdict.PASS, f"{inspection.id}.{step.id} on {dict(machine)}: {said.items}"
            seen += 1
    assert seen > 15
