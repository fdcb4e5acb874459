"""What was found bad on the part itself stands on the customer's paper, whatever was decided."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.documents.document_tree import Document
from wizard.documents.papers.sections.findings_section import findings_section
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import NextKind, RefusalReason
from wizard.engine.guidance.found_defects import defects
from wizard.engine.messages import commands as c
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.cases.case_player import play


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


def test_what_was_measured_again_and_came_out_well_is_not_called_unrepaired() -> None:
    """Uneven dampers speak for a seized one too; all are changed as worn, and the same steps come out well: no paper
    says that what they had found was not repaired.
    """
    folder = folder_of("washer-shake")
    flow = load(folder)
    case = next(case for case in load_cases(folder, flow) if case.id == "below")
    state = fold_all(play(flow, case).records)
    view = JobView.of(flow, state)
    text = MARKDOWN.write(Document("", (findings_section(view),))).decode()
    assert "was not repaired" not in text and "seized" not in text.lower(), text
    assert not any(defect.fault == "dampers-seized" for defect in defects(view))
