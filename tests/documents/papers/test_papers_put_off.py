"""A repair that is put off: its reason is asked for, stands on the papers, and the next visit is owed for it.

Common practice: what takes two is not done by one, and 'parts on order' is no word for it.
"""

from __future__ import annotations

from test_papers_handover import section, text_of, written

from tests.helpers.jobs import Job
from wizard.documents.papers.parts_order import parts_order
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.vocabulary import JobOutcome, NextKind, RefusalReason, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries

WHY = "It takes two, and I am alone"


def put_off() -> Job:
    job = Job().find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.PUT_OFF, reason=WHY))
    return job


def test_a_repair_is_put_off_with_a_reason_only() -> None:
    job = Job().find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    refused = job.refused(c.RecordRepair("dampers-worn", RepairOutcome.PUT_OFF))
    assert refused is RefusalReason.REASON


def test_it_is_left_out_of_use_and_the_papers_say_why() -> None:
    job = put_off()
    assert next_queries.next_up(job.view).kind is NextKind.LEAVE
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert job.state.outcome is JobOutcome.PUT_OFF
    text = written(job)
    assert f"Why: {WHY}." in section(text, "Still to come, put off")
    assert "Please do not use the machine until we have made the repair." in text
    assert "repair put off" in text_of(technician_record(job.view)) and "on order" not in text
    assert parts_order(job.view) is None


def test_the_next_visit_makes_it() -> None:
    job = put_off()
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale", "T-2"))
    coming = job.until(NextKind.REPAIR)
    assert coming.target == "dampers-worn"
