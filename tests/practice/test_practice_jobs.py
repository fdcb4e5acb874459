"""Whole jobs at practice machines: played to the end by the advice, the same from the same seed; their scores."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import pytest

from tests.helpers.practice_jobs import EXACT, KINDS, faulty, healthy, shipped_practice
from wizard.domain.vocabulary import FaultSeverity, RepairOutcome
from wizard.engine.messages.events import Answered
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.practice.machines.practice_machine import on_set_feet
from wizard.practice.practice_job import PlayedJob, PracticeScene, draw_scene, play
from wizard.practice.study import row
from wizard.practice.study_scores import Row, calibration, groups, scores
from wizard.practice.technician import Technician


def scene(kind: str, fault: str, seed: int = 1) -> PracticeScene:
    """A machine with a severe fault, and people who never err."""
    return PracticeScene(healthy(kind, seed), faulty(kind, fault, FaultSeverity.SEVERE, seed), EXACT)


@lru_cache(maxsize=4)
def severe_job(kind: str, fault: str) -> PlayedJob:
    """A job at such a machine, played to its end."""
    flow, practice = shipped_practice()
    return play(practice, flow, scene(kind, fault), "job")


@pytest.mark.parametrize(
    ("kind", "fault"), zip(KINDS, ("dampers-worn", "rods", "pads"), strict=True), ids=KINDS
)
def test_a_severe_fault_is_found_repaired_and_proved(kind: str, fault: str) -> None:
    """From the door to the close through the engine: the suspension of each kind."""
    flow, practice = shipped_practice()
    job = severe_job(kind, fault)
    assert (job.stuck, job.outcome, job.fitted) == ("", "proved", (fault,))
    assert job.ranked[0].fault == fault
    assert 10 < job.minutes[0] < job.minutes[1]
    scored = row(flow, practice, job, 1)
    assert scored.first_right and not scored.wrong and not scored.leaves


def test_a_job_is_the_same_from_the_same_seed() -> None:
    """Every answer of it, in order; errors of people among them."""
    flow, practice = shipped_practice()

    def answers(job: PlayedJob) -> list[tuple[str, str]]:
        return [(r.event.step, r.event.text) for r in job.records if isinstance(r.event, Answered)]

    first, again = (play(practice, flow, draw_scene(practice, flow, 1, 4), "job") for _ in range(2))
    assert answers(first) == answers(again)
    assert len(answers(first)) > 30


def test_a_repair_takes_its_own_fault_away_and_no_other() -> None:
    """After new dampers they drag as they did when they were healthy; a part for what is sound changes nothing."""
    flow, practice = shipped_practice()
    job = severe_job("front-loader", "dampers-worn")
    at = job.scene
    source = Technician(practice, at.healthy, at.machine, EXACT)
    assert source.machine(JobView.of(flow, State())).values == at.machine.values
    assert source.machine(job.view).values == on_set_feet(at.healthy).values
    other = job.view.at(
        replace(job.view.state, repairs=tuple(replace(r, fault="feet") for r in job.view.state.repairs))
    )
    assert any(r.outcome is RepairOutcome.FITTED for r in other.state.repairs)
    unchanged = Technician(practice, at.healthy, at.machine, EXACT)
    assert unchanged.machine(other).values == on_set_feet(at.machine).values


def test_the_technician_knows_no_truth() -> None:
    """What decides is the advice: with the ranking of a job in which nothing was asked, the likeliest fault."""
    flow, practice = shipped_practice()
    at = scene("front-loader", "dampers-worn")
    view = JobView.of(flow, replace(State(), facts=dict(at.machine.facts)))
    told = Technician(practice, at.healthy, at.machine, EXACT).faults(view)
    assert told == Technician(practice, at.healthy, at.healthy, EXACT).faults(view)


def made(
    causes: dict[str, str], ranked: list[tuple[str, float]], fitted: tuple[str, ...], **more: object
) -> Row:
    """A row by hand."""
    given = {"beside": (), "decided": (), "parts": fitted, "outcome": "proved", "stuck": "", **more}
    return Row(
        1,
        "front-loader",
        causes,
        ranked=tuple(ranked),
        confirmed=fitted,
        fitted=fitted,
        minutes=(10, 20),
        **given,
    )  # type: ignore[arg-type]


def test_scores_by_hand() -> None:
    """Four jobs, counted by hand."""
    rows = [
        made({"a": "mild"}, [("a", 0.9), ("b", 0.1)], ("a",), decided=("a",)),
        made({"a": "severe"}, [("b", 0.6), ("a", 0.3)], ("b",)),
        made({"a": "mild", "b": "severe"}, [("b", 0.8), ("a", 0.7)], ("b",), decided=("b",)),
        made({"a": "mild"}, [("h", 0.99), ("a", 0.5)], ("h", "a"), beside=("h",), decided=("h",)),
    ]
    said = scores(rows)
    assert (said["first_right"], said["all_on_top"]) == (0.75, 0.75)
    assert (said["decided"], said["right_when_decided"]) == (0.5, 1.0)
    assert (said["wrong_repairs"], said["leaves_a_fault"]) == (0.25, 0.5)
    assert {name: len(of) for name, of in groups(rows)["severity"].items()} == {"mild": 3, "severe": 2}


def test_calibration_by_hand() -> None:
    """Brier (0.1^2 + 0.6^2) / 2, log loss -(ln 0.9 + ln 0.4) / 2, and each in its tenth."""
    rows = [made({"a": "mild"}, [("a", 0.9)], ("a",)), made({"a": "mild"}, [("b", 0.6), ("a", 0.2)], ("b",))]
    said = calibration(rows)
    assert said["brier"] == pytest.approx((0.01 + 0.36) / 2)
    assert said["log_loss"] == pytest.approx(-(math.log(0.9) + math.log(0.4)) / 2)
    assert [(t["from"], t["jobs"], t["right"]) for t in said["tenths"]] == [(0.6, 1, 0.0), (0.9, 1, 1.0)]


def test_nothing_is_scored_of_no_jobs() -> None:
    """A mean of nothing is no number."""
    assert math.isnan(scores([])["first_right"])
