"""What was found bad on the part itself stands on the customer's paper, whatever was decided."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.documents.document_tree import Document
from wizard.documents.papers.sections.findings_section import findings_section
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import NextKind, RefusalReason
from wizard.engine.messages import commands as c


def found() -> Job:
    """Dampers measured at 18 N, and a decision to make."""
    job = Job().find_worn()
    job.until(NextKind.DECIDE)
    return job


def said(job: Job) -> str:
    """The section as it is printed."""
    return MARKDOWN.write(Document("", (findings_section(job.view),))).decode()


def test_no_fault_is_not_decided_over_a_part_that_was_found_bad_without_a_reason() -> None:
    job = found()
    before = job.state.seq
    assert job.refused(c.Confirm(("normal",))) is RefusalReason.REASON and job.state.seq == before
    job.do(c.Confirm(("normal",), reason="the owner's scale is broken"))
    assert job.state.decided == ("normal",)
    assert "Dampers worn" in said(job) and "not repaired" in said(job)


def test_what_was_decided_is_not_said_twice() -> None:
    job = found()
    job.do(c.Confirm(("dampers-worn",)))
    assert "was not repaired" not in said(job)
