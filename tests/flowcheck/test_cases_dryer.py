"""The cases of the dryer that doesn't heat: a fault each, each stop, and what no case may come to."""

from __future__ import annotations

from tests.helpers.flows.shipped_cases import shipped
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.messages.events import RepairDone

DRYER = "dryer-no-heat"


def test_every_case_ends_as_it_says() -> None:
    """At least twenty-five of them, and none otherwise."""
    assert len(shipped(DRYER).played) >= 25
    assert [(job.case, job.problems) for job in shipped(DRYER).played if not job.ok] == []


def test_every_fault_is_confirmed_in_a_case_and_nothing_wrong_too() -> None:
    """No fault is known by its weights alone."""
    confirmed = {fault for case in shipped(DRYER).cases for fault in case.expect.confirmed or ()}
    assert confirmed == set(shipped(DRYER).flow.faults)


def test_every_answer_that_stops_work_was_given_and_stopped_it() -> None:
    """Gas, a scorched outlet, a shock, smoke, a live leg, heat that isn't held, a cut-out that nobody knows why."""
    tried = shipped(DRYER).stops
    assert [str(one.key) for one in tried if one.problem or (not one.tried and not one.library)] == []
    ended = {case.expect.stop for case in shipped(DRYER).cases}
    own = {"smoke", "overheats", "cause-unknown"}
    assert {"gas", "gas-dryer", "scorched", "live-cabinet", "voltage-present", "no-earth"} | own <= ended


def test_a_new_cut_out_always_comes_behind_its_cause() -> None:
    """Wherever a cut-out was fitted, what blew it was answered before; with the way blocked it was cleared before."""
    for job in shipped(DRYER).played:
        done = [r.event for r in job.records if isinstance(r.event, RepairDone)]
        repaired = [event.fault for event in done if event.outcome is RepairOutcome.FITTED]
        if "cutout" not in repaired:
            continue
        steps = [str(p.step) for p in job.path]
        assert "cause.found" in steps, job.case
        if "vent" in repaired:
            assert repaired.index("vent") < repaired.index("cutout"), job.case


def test_nobody_who_works_alone_is_told_to_lift() -> None:
    """On another machine, on its kit: no reach of the job is one for two."""
    reaches = {p.reach for p in shipped(DRYER).job("alone").path}
    assert not reaches & {"move", "lift", "set-down", "raise"}
