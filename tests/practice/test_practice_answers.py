"""What is answered: every step of the shipped flow, what a healthy machine passes, errors, slips and missing tools."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from tests.helpers.practice_jobs import EXACT, KINDS, FreeJob, faulty, free_flow, healthy, shipped_practice
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import FaultSeverity, StepKind, Verdict
from wizard.engine.answer_source import ReplyHow
from wizard.flow.model import MeasureStep
from wizard.measure.quantities.units import from_si
from wizard.practice.answering import Crew, StepQuestion, draw_crew, reply
from wizard.practice.reading_noise import ReadingNoise


@pytest.fixture(scope="module", params=KINDS)
def walked(request: pytest.FixtureRequest) -> list[FreeJob]:
    """Jobs at three healthy machines of a kind that went through every inspection they have."""
    jobs = [FreeJob(healthy(request.param, seed)) for seed in range(3)]
    for job in jobs:
        for inspection in job.inspections():
            job.go(inspection.id)
    return jobs


def test_the_engine_takes_an_answer_to_every_step(walked: list[FreeJob]) -> None:
    """Through the engine, each step opened by itself where no way led to it; one that computes needs its readings."""
    job = walked[0]
    steps = [(i.id, s) for i in job.inspections() for s in i.steps if s.kind is not StepKind.COMPUTE]
    assert len(steps) > 120
    for inspection, step in steps:
        if f"{inspection}.{step.id}" not in job.answered:
            job.go(inspection, step.id, 1)
    assert not {f"{inspection}.{step.id}" for inspection, step in steps} - job.answered


def test_a_healthy_machine_passes(walked: list[FreeJob]) -> None:
    """At least 95 % of all that is judged passes, and a fault is hardly ever seen: 2 % fail at most."""
    judged = sum((job.verdicts for job in walked), Counter())
    total = sum(judged.values())
    assert total > 80
    assert sum(n for (_, v), n in judged.items() if v is Verdict.PASS) >= 0.95 * total, judged
    assert sum(n for (_, v), n in judged.items() if v is Verdict.FAIL) <= 0.02 * total, judged


def asked(job: FreeJob, step: str, turn: int = 0) -> StepQuestion:
    """A step as it would be asked in a job."""
    where = StepRef.parse(step)
    found = free_flow().step(where)
    assert found is not None
    return StepQuestion(job.driver.session.view, where, found, turn)


PAST_THE_WAY = {"springs": "jogged", "dampers-worn": "look", "dampers-seized": "look", "rods": "slide"}
"""Where an inspection is begun so that chance leads to no other way through it."""


@pytest.mark.parametrize(
    ("kind", "fault", "step", "verdict"),
    [
        ("front-loader", "dampers-worn", "dampers.pull", Verdict.FAIL),
        ("front-loader", "dampers-seized", "dampers.pull", Verdict.FAIL),
        ("front-loader", "feet", "feet.rock", Verdict.FAIL),
        ("front-loader", "spider", "spider.varies", Verdict.FAIL),
        ("front-loader", "bearings", "spider.along", Verdict.FAIL),
        ("front-loader", "springs", "springs.lean", Verdict.FAIL),
        ("front-loader", "drain", "drain.pump", Verdict.FAIL),
        ("top-hung", "rods", "rods.slide", Verdict.FAIL),
        ("top-base", "pads", "pads.thickness", Verdict.FAIL),
    ],
)
def test_a_severe_fault_fails_where_it_is_measured(
    kind: str, fault: str, step: str, verdict: Verdict
) -> None:
    """Three machines, each through the engine."""
    for seed in range(3):
        job = FreeJob(faulty(kind, fault, FaultSeverity.SEVERE, seed))
        job.go(step.partition(".")[0], PAST_THE_WAY.get(fault, ""))
        assert job.verdicts[step, verdict] == 1, job.verdicts


def test_the_same_turn_gives_the_same_answer_and_another_turn_another_reading() -> None:
    """Chances of a machine last; what a hand and a tool add is drawn anew."""
    job, practice = FreeJob(healthy("front-loader", 1)), shipped_practice()[1]

    def said(step: str, turn: int) -> object:
        return reply(practice, job.machine, EXACT, asked(job, step, turn))

    assert said("dampers.pull", 0) == said("dampers.pull", 0)
    assert said("dampers.pull", 0) != said("dampers.pull", 1)
    assert said("panels.press", 0) == said("panels.press", 1)


def test_readings_scatter_as_their_tool_does() -> None:
    """400 uses of the pull scale (3 N) at 60 N: mean within 0.5 N, deviation 2.5 to 3.5 N, whole newtons."""
    flow = free_flow()
    step = flow.step(StepRef.parse("rods.slide"))
    assert isinstance(step, MeasureStep)
    rng = np.random.default_rng(1)
    tool = flow.tools[step.reading.tool]
    typed = [ReadingNoise.of(step.reading, tool, 0.0, 0.0, rng).typed(60.0, rng) for _ in range(400)]
    values = [float(t) for t in typed]
    assert np.mean(values) == pytest.approx(60.0, abs=0.5)
    assert 2.5 < np.std(values) < 3.5
    assert all(v == int(v) for v in values)


def test_a_slip_of_reading_swaps_digits_or_is_one_off_and_stays_believable() -> None:
    """Misread every time: never the right text, always within what the step believes."""
    flow = free_flow()
    step = flow.step(StepRef.parse("feet-out.out"))
    assert isinstance(step, MeasureStep)
    tool = replace(flow.tools[step.reading.tool], uncertainty=0.0)
    low, high = (from_si(edge, step.reading.unit) for edge in (step.reading.low, step.reading.high))
    rng = np.random.default_rng(2)
    for truth in (0.0125, 0.012, 0.0115, 0.011):
        right = ReadingNoise.of(step.reading, tool, 0.0, 0.0, rng).typed(truth, rng)
        slipped = ReadingNoise.of(step.reading, tool, 0.0, 1.0, rng).typed(truth, rng)
        assert slipped != right
        assert low <= float(slipped) <= high


def test_a_customer_errs_at_their_rate() -> None:
    """Asked 300 times of a machine that shakes with no load at all: 'with some' as often as they err (5 deviations)."""
    practice, job = shipped_practice()[1], FreeJob(healthy("front-loader", 1))
    crew = replace(EXACT, errs=0.2)
    asking = [asked(job, "arrival.loads", turn) for turn in range(300)]
    wrong = sum(reply(practice, job.machine, crew, one).chosen == ("some",) for one in asking)
    assert wrong == pytest.approx(60, abs=5 * (300 * 0.2 * 0.8) ** 0.5)
    assert all(reply(practice, job.machine, EXACT, one).chosen == ("all",) for one in asking)


def test_a_tool_that_is_missing_is_said_and_the_eye_takes_its_place() -> None:
    """Without a dial play is felt, without a phone shake is seen; what proves a machine dead is never missing."""
    practice = shipped_practice()[1]
    crew = Crew(0.0, 0.0, 0.0, frozenset({"dial", "phone-shake", "two-pole-tester"}))
    job = FreeJob(healthy("front-loader", 1), crew)
    assert reply(practice, job.machine, crew, asked(job, "spider.angles")).how is ReplyHow.UNABLE
    assert reply(practice, job.machine, crew, asked(job, "dead.volts")).how is ReplyHow.READINGS
    job.go("spider")
    job.go("baseline")
    assert {"spider.feel", "spider.gap", "baseline.by-eye"} <= job.answered


def test_tools_are_missing_as_often_as_the_file_says() -> None:
    """2,000 technicians: a dial is missing for 30 % (5 deviations)."""
    practice = shipped_practice()[1]
    share = practice.people.missing["dial"]
    rng = np.random.default_rng(3)
    missing = sum("dial" in draw_crew(practice, rng).missing for _ in range(2_000))
    assert missing == pytest.approx(2_000 * share, abs=5 * (2_000 * share * (1 - share)) ** 0.5)


def test_what_a_step_shows_grows_with_the_severity_of_its_fault() -> None:
    """Of 300 machines more show a torn strap the worse it is, near the chances of the file (5 deviations)."""
    practice, job = shipped_practice()[1], FreeJob(healthy("top-hung", 1))
    seen = []
    for severity, chance in zip(FaultSeverity, (0.65, 0.868, 0.9575), strict=True):
        lots = [replace(job.machine, faults={"straps": severity}, lot=n) for n in range(300)]
        answers = [reply(practice, m, EXACT, asked(job, "rods.straps")).chosen for m in lots]
        seen.append(sum(a in (("torn",), ("off",)) for a in answers))
        assert seen[-1] == pytest.approx(300 * chance, abs=5 * (300 * chance * (1 - chance)) ** 0.5)
    assert seen == sorted(seen)


def test_nobody_ticks_more_places_than_there_are() -> None:
    """Who errs at every line ticks every healthy damper: three of three, and the engine takes it."""
    job, practice = FreeJob(healthy("front-loader", 1)), shipped_practice()[1]
    count = int(job.driver.session.view.state.facts["dampers"])
    said = reply(practice, job.machine, replace(EXACT, slips=1.0), asked(job, "dampers.which"))
    assert count < 4 and len(said.chosen) == count
