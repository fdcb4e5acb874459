"""A repair that is not proved says why, and what would prove it."""

from __future__ import annotations

from test_papers_handover import mended, section, text_of, worn, written

from tests.helpers.jobs import Job
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.text.proof_text import unproved
from wizard.domain.vocabulary import InspectionResult, JobOutcome, NextKind
from wizard.engine.messages import commands as c
from wizard.engine.queries.proving import UnfinishedProof, unfinished_proofs


def left_out(reason: str = "The customer had to leave") -> Job:
    """Dampers changed, the proving spin left out."""
    job = mended(worn())
    job.do(c.Skip("spin", reason))
    job.until(NextKind.CLOSE)
    return job


def test_a_proof_left_out_is_named_with_its_reason_on_both_papers() -> None:
    """Why it isn't proved, and what would prove it."""
    job = left_out()
    assert unfinished_proofs(job.view) == (
        UnfinishedProof("spin", InspectionResult.SKIPPED, "The customer had to leave"),
    )
    for text in (written(job), text_of(technician_record(job.view))):
        assert section(text, "Not proved, because") == (
            "- Proving spin: left out. The customer had to leave.\n\n"
            "What would prove it: Proving spin, done to the end, with nothing that fails."
        )
    job.do(c.Close())
    assert job.state.outcome is JobOutcome.NOT_PROVED and len(unproved(job.view)) == 1


def test_a_proof_that_failed_is_named_with_what_was_read() -> None:
    """The feet moved 40 mm: that is what stands against it."""
    job = mended(worn())
    job.come_to("dampers", "pull")
    while job.state.run is not None:
        job.answer()
    job.come_to("spin")
    job.asked()
    job.measure(40)
    (gap,) = [g for g in unfinished_proofs(job.view) if g.inspection == "spin"]
    assert gap.result is InspectionResult.FAIL and "40" in gap.reason
    assert "Proving spin: did not come out well." in section(written(job), "Not proved, because")


def test_what_is_to_be_measured_again_and_was_not_is_named() -> None:
    """Left out with a reason of its own."""
    job = mended(worn())
    (where,) = job.state.repairs[-1].recheck
    job.do(c.Skip(where.inspection, "scale broken", step=where.step, recheck=True))
    gap = next(g for g in unfinished_proofs(job.view) if g.again)
    assert (gap.inspection, gap.reason) == ("dampers", "scale broken")
    assert "Dampers, measuring again: " in section(written(job), "Not proved, because")


def test_a_proved_repair_and_one_not_made_have_no_such_section() -> None:
    """Nothing is missing; and where nothing was repaired there is nothing to prove."""
    job = mended(worn())
    job.until(NextKind.CLOSE)
    assert unfinished_proofs(job.view) == () and "Not proved" not in written(job)
    none = Job()
    none.through("quick")
    none.do(c.Confirm(()))
    assert unproved(none.view) == () and "Not proved" not in written(none)


def test_a_fault_that_nothing_was_done_about_yet_is_not_called_mended() -> None:
    """Between the decision and the repair."""
    assert "fault confirmed, not dealt with yet" in section(written(worn()), "The record")
