"""What is defective here is what was seen or measured on the part itself, whatever explains the complaint."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.guidance.found_defects import defects
from wizard.engine.messages import commands as c
from wizard.screens.viewmodels.faults.defect_lines import defect_lines


def test_a_part_that_was_measured_bad_is_defective_with_its_reading():
    (found,) = defects(Job().find_worn().view)
    assert (
        found.fault == "dampers-worn"
        and found.inspection == "Dampers"
        and found.words == "measured, and it fails"
    )


def test_nothing_is_before_it_was_looked_at_on_the_part_itself():
    """The tub bounces: that points to the dampers, and shows none of them to be bad."""
    job = Job()
    job.come_to_pull()
    assert defects(job.view) == () and defect_lines(job.view, 78) == []


def test_what_was_seen_stays_defective_beside_what_explains_more():
    """Bolts in explain the complaint too, and have no check of their own in this flow: the dampers stay worn."""
    job = Job()
    job.do(c.OpenInspection("quick"))
    job.asked()
    job.answer("yes")
    while job.state.run is not None:
        job.answer()
    job.come_to_pull(quick=False)
    job.measure(18)
    assert [d.fault for d in defects(job.view)] == ["dampers-worn"]
    said = " ".join(defect_lines(job.view, 78))
    assert said.count("Found defective: ") == 1 and "(Dampers" in said


def test_what_was_repaired_is_defective_no_more():
    job = Job().find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    if job.state.goal:
        job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED))
    assert [r.outcome for r in job.state.repairs] == [RepairOutcome.FITTED]
    assert defects(job.view) == ()
