"""The cases of the second shipped flow: all end as they say, cover every answer, and pass no gate by force."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from wizard.flow.case_files import load_cases
from wizard.flow.load import load
from wizard.flow.model import Flow
from wizard.flow.shipped import folder_of
from wizard.proof.cases import Played
from wizard.proof.play import play


@pytest.fixture(scope="module")
def played() -> tuple[Flow, tuple[Played, ...]]:
    """The flow and every case of it, played."""
    folder = folder_of("washer-no-drain")
    flow = load(folder)
    return flow, tuple(play(flow, case) for case in load_cases(folder, flow))


def every_answer(flow: Flow) -> Iterator[str]:
    """All answers of steps where one is chosen."""
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            yield from (f"{inspection.id}.{step.id}:{a.id}" for a in step.answers if not step.many)


def test_every_case_ends_as_it_says(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """All cases are green, and every attempt to get past a gate in them is refused."""
    _flow, results = played
    assert {r.case: r.problems for r in results if not r.ok} == {}
    assert sum(len(r.attempts) for r in results) >= 15


def test_every_answer_is_covered(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """Cases go through every answer and verdict that can be given."""
    flow, results = played
    assert set(every_answer(flow)) - {f"{p.step}:{p.answer}" for r in results for p in r.path} == set()


def test_every_fault_and_stop_has_a_case(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """Each fault is confirmed in a case of every kind that can have it, and work is stopped for each reason."""
    flow, results = played
    facts = {c.id: c.facts for c in load_cases(folder_of("washer-no-drain"), flow)}
    kinds = {(f, facts[r.case].get("kind", "front-loader")) for r in results for f in r.confirmed}
    assert {(f.id, kind) for f in flow.faults.values() for kind in f.share} <= kinds
    assert {r.stop for r in results} - {""} == set(flow.stops)


def test_what_is_decided_is_what_was_hidden(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """A fault at 0.9 or more when the decision was taken is one that the case means."""
    _flow, results = played
    decided = [(fault, r) for r in results if r.confirmed for fault in r.decided]
    assert len(decided) > 50 and all(fault in r.confirmed for fault, r in decided)


def test_a_job_is_left_safe_while_the_house_drain_backs_up(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """Whoever declines the plumber keeps a machine that is closed, unplugged and tagged, not a handover."""
    _flow, results = played
    (job,) = (r for r in results if r.case == "standpipe-declined")
    seen = {p.step.partition(".")[0] for p in job.path}
    assert "leave-safe" in seen and "handover" not in seen and "pump-run" not in seen
    assert job.bars == ("backs-up",)


def test_the_pump_is_measured_dead_only(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """No case answers a step at the pump's terminals in any state but proved dead."""
    _flow, results = played
    at_pump = [
        p.safety
        for r in results
        for p in r.path
        if p.step.startswith(("pump.", "coil-", "phases.", "pressure."))
    ]
    assert len(at_pump) > 300 and set(at_pump) == {"proved-dead"}


def test_water_runs_only_in_its_states(played: tuple[Flow, tuple[Played, ...]]) -> None:
    """The proof is made in 'proving', the pressure test in 'wet', and nothing in this flow ever spins."""
    flow, results = played
    states = {(p.step.partition(".")[0], p.safety) for r in results for p in r.path}
    assert {s for i, s in states if i == "drain-test"} == {"proving"}
    assert {s for i, s in states if i == "hoses-pressure"} == {"wet"}
    assert {s for i, s in states if i == "pump-run"} == {"covered"}
    does = {act for i in flow.inspections.values() for step in i.steps for act in step.does}
    assert does == {"energised", "pump-out", "water"}
