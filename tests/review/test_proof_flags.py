"""Flags on the proof of a repair and on empty reasons, each raised and not raised."""

import pytest

from tests.helpers.paced_jobs import Paced, closed, mended, raised, weak
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c

RULE = "proof-repeated"


def at_proof():
    """New dampers fitted, and the pull that showed the fault on screen again."""
    job = weak(Paced())
    mended(job)
    job.until(NextKind.RECHECK)
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    return job


def taken_back(job, times):
    for _ in range(times):
        job.do(c.Undo())


def passed(job):
    """Good readings, judged, and the rest of the job."""
    job.read_each("59", "61", "60", "62")
    job.judge()
    job.rest()
    return closed(job)


def test_a_proof_that_passes_at_once_is_not_flagged():
    assert raised(passed(at_proof()), RULE) == []


def test_judged_fail_and_undone_then_passed():
    """The verdict is taken back with its readings, others are typed: what was put aside is told, and what stands."""
    job = at_proof()
    job.read_each("18")
    job.judge()
    assert job.state.answer_records[-1].verdict == "fail"
    taken_back(job, 1 + len(job.state.readings(job.state.answer_records[-1].run, "pull")))
    passed(job)
    (flag,) = raised(job, RULE)
    assert "[fail]" in flag.evidence and "taken back" in flag.evidence and "In the end: " in flag.evidence
    assert str(flag.where) == "dampers.pull" and flag.measure and flag.measure > 1
    assert flag.kind == "evidence" and flag.gravity == "high"


def test_typed_and_undone_before_it_was_judged():
    """One reading that would fail, taken back: nobody judged it, and the record has it all the same."""
    job = at_proof()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "18", 0, 0, 0, sure=True))
    taken_back(job, 1)
    passed(job)
    (flag,) = raised(job, RULE)
    assert flag.measure == 1.0 and "18" in flag.evidence
    assert raised(job, RULE, {RULE: {"least": 2}}) == []


def test_a_good_reading_taken_back_is_no_try():
    """A slip from one passing number to another puts nothing bad aside."""
    job = at_proof()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "61", 0, 0, 0, sure=True))
    taken_back(job, 1)
    assert raised(passed(job), RULE) == []


def test_put_right_with_the_reason_typo():
    """A reading that failed corrected into one that passes; the reason is told."""
    job = at_proof()
    job.read_each("18", "61", "60", "62")
    bad = job.state.readings(job.state.run.id, "pull")[0]
    job.do(c.CorrectReading(bad.seq, "61", "typo"))
    job.judge()
    job.rest()
    closed(job)
    (flag,) = raised(job, RULE)
    assert "put right with the reason 'typo'" in flag.evidence


def test_what_is_put_right_before_any_repair_is_no_proof():
    """A number mistyped while the fault is looked for is told by other flags."""
    job = Paced()
    job.through("quick")
    job.open("dampers")
    job.answer("swings")
    job.asked()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "5", 0, 0, 0, sure=True))
    taken_back(job, 1)
    job.read_each("17", "18", "19")
    job.judge()
    job.rest()
    assert raised(closed(mended(job)), RULE) == []


def skipping(reason, count):
    """So many inspections left out with a reason."""
    job = Paced()
    left = [i for i in job.flow.find if not job.flow.inspections[i].procedure][:count]
    for inspection in left:
        job.do(c.Skip(inspection, reason))
    return job


@pytest.mark.parametrize("reason", ["x", "..", "aaa", "no"])
def test_several_left_out_with_a_reason_that_says_nothing(reason):
    """The reason as written, how often, and what was left out."""
    job = skipping(reason, 3)
    (flag,) = raised(job, "reasons-empty")
    assert flag.says.startswith("3 were left out") and f"'{reason}' 3 times" in flag.evidence
    assert job.flow.inspections[job.flow.find[0]].title in flag.evidence and flag.measure == 3.0


def test_one_alone_or_one_that_says_why_is_not_flagged():
    assert raised(skipping("x", 1), "reasons-empty") == []
    assert raised(skipping("The customer needs it now.", 3), "reasons-empty") == []


def test_power_cut_off_faster_than_it_is_read():
    """A second a step: one flag on the whole isolation; at a minute a step there is none."""
    quick = Paced(pace=1.0)
    quick.come_to("dampers")
    flags = raised(quick, "isolation-quick")
    assert flags and all(f.kind == "safety" and f.gravity == "high" for f in flags)
    assert "reading them takes" in flags[0].evidence
    calm = Paced(pace=60.0)
    calm.come_to("dampers")
    assert raised(calm, "isolation-quick") == []


def test_a_hurried_isolation_among_calm_steps_is_flagged():
    """Each step at a minute but those that cut the power and try it: no row of three, and one flag."""
    job = Paced(pace=60.0)
    job.do(c.OpenInspection("dampers"))
    while job.state.run is not None and job.state.run.only:
        off = job.state.run.condition in ("supply", "verified")
        job.pace = 1.0 if off else 60.0
        job.answer()
    (flag,) = raised(job, "isolation-quick")
    assert "steps; reading them takes" in flag.evidence or "1 step; reading" in flag.evidence
    assert raised(job, "isolation-quick", {"isolation-quick": {"words-a-minute": 60_000}}) == []
