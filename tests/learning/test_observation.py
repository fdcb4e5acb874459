"""What one session says: what was proved, what was asked before the repair, and the clock of whole runs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobOutcome, NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import RepairDone
from wizard.engine.queries import inspection_queries
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_state import Repair
from wizard.engine.state.job_view import JobView
from wizard.learning.observation import LeftOut, Observation, WhyLeftOut, observe
from wizard.learning.proved_faults import ProvedFaults, proved_faults


def closed(job: Job) -> Job:
    """The job to its end, in the flow's own order: worn dampers confirmed, fitted and proved."""
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return job


@pytest.fixture(scope="module")
def proved() -> Job:
    """Dampers found worn, replaced, and the proof passed."""
    return closed(Job().find_worn())


def test_a_repair_that_its_proof_passed_is_a_label(proved: Job) -> None:
    """One fault repaired: it was there. The machine's facts and the time of the close stand with it."""
    said = observe(proved.view)
    assert isinstance(said, Observation)
    assert proved.state.outcome is JobOutcome.PROVED and said.faults == ProvedFaults(("dampers-worn",))
    assert said.facts["kind"] == "front-loader" and said.at == proved.state.at


def test_evidence_is_that_of_before_the_repair(proved: Job) -> None:
    """As the engine had it the moment before the repair; the proofs after it, which find the opposite, are no part."""
    said = observe(proved.view)
    assert isinstance(said, Observation)
    place = next(n for n, r in enumerate(proved.records) if isinstance(r.event, RepairDone))
    before = JobView.of(proved.flow, fold_all(proved.records[:place]))
    assert said.evidence == {f: e for f, e in inspection_queries.evidence(before).items() if e != 0.5}
    assert said.evidence["pull-weak"] > 0.9 and "bolts-seen" in said.evidence
    assert "walks" not in said.evidence, "it was never asked"


def test_what_is_not_proved_has_no_label(proved: Job) -> None:
    """Declined, on order, no fault, not proved: the session speaks for shares alone."""
    for outcome in JobOutcome:
        state = replace(proved.state, outcome=outcome)
        label = proved_faults(JobView.of(proved.flow, state))
        assert (label is not None) is (outcome is JobOutcome.PROVED)


def test_a_job_that_is_not_closed_is_left_out() -> None:
    """Named, and why."""
    job = Job().find_worn()
    assert observe(job.view) == LeftOut(job.state.session, WhyLeftOut.NOT_CLOSED)
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    gone = replace(job.state, facts={**job.state.facts, "kind": "unheard-of"})
    said = observe(JobView.of(job.flow, gone))
    assert isinstance(said, LeftOut) and said.why is WhyLeftOut.NO_KIND


def with_repairs(job: Job, *more: tuple[str, int]) -> ProvedFaults | None:
    """What is proved with other faults fitted too, so many events after the last decision (or before it)."""
    made = tuple(
        Repair(job.state.decided_seq + after, 1, fault, RepairOutcome.FITTED, (), "", ())
        for fault, after in more
    )
    return proved_faults(JobView.of(job.flow, replace(job.state, repairs=(*job.state.repairs, *made))))


def test_of_several_repairs_what_no_check_of_its_own_found_is_doubtful(proved: Job) -> None:
    """Wiring was made good along with it, and nobody had looked at it."""
    assert with_repairs(proved, ("wiring", 1)) == ProvedFaults(("dampers-worn",), ("wiring",))


def test_what_was_repaired_before_the_last_decision_is_doubtful(proved: Job) -> None:
    """A proof failed after it: something was left, and whether it had been there nobody knows."""
    assert with_repairs(proved, ("transit-in", -1)) == ProvedFaults(("dampers-worn",), ("transit-in",))


def test_what_repairs_nothing_is_no_label(proved: Job) -> None:
    """Normal for its kind: told, not repaired."""
    assert with_repairs(proved, ("normal", 1)) == ProvedFaults(("dampers-worn",))


def seconds(job: Job) -> dict[str, float]:
    said = observe(job.view, job.records)
    assert isinstance(said, Observation)
    return {run.inspection: run.seconds for run in said.minutes}


def test_the_clock_of_a_whole_run_is_that_of_its_steps() -> None:
    """The hand-turned clock: five seconds a command, and what was waited; the same as the sum by hand."""
    job = Job()
    first = len(job.records)
    job.through("quick")
    own = [r.since for r in job.records[first:]]
    closed(worn(job))
    assert 0.0 < seconds(job)["quick"] <= sum(own)


def worn(job: Job) -> Job:
    """The dampers found worn, the quick checks made before."""
    job.come_to_pull(quick=False)
    job.measure(18)
    return job


@pytest.mark.parametrize("how", ["pause", "still"])
def test_a_run_that_was_interrupted_says_nothing(how: str) -> None:
    """A break within it, or half an hour without a key."""
    job = Job()
    job.do(c.OpenInspection("quick"))
    job.asked()
    if how == "pause":
        job.do(c.Pause())
    else:
        job.clock.move(1_900)
        job.do(c.AddNote("Back again."))
    while job.state.run is not None:
        job.answer()
    closed(worn(job))
    told = seconds(job)
    assert "quick" not in told and "dampers" in told


def test_a_run_that_was_left_and_taken_up_again_says_nothing() -> None:
    """Nor does one that was never ended, or a step that was asked for another."""
    job = Job()
    job.do(c.OpenInspection("quick"))
    job.asked()
    job.do(c.Leave())
    job.do(c.OpenInspection("quick"))
    while job.state.run is not None:
        job.answer()
    closed(worn(job))
    assert any(r.only for r in job.state.runs) and any(r.resumed for r in job.state.runs)
    told = seconds(job)
    assert "quick" not in told and "dampers" in told
    assert all(not job.flow.inspections[name].procedure for name in told)
