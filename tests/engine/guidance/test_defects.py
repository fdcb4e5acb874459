"""What is defective here is what was seen or measured on the part itself, whatever explains the complaint."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RepairOutcome, Verdict
from wizard.engine.guidance.found_defects import defects
from wizard.engine.messages import commands as c
from wizard.screens.viewmodels.faults.defect_lines import defect_lines


def test_a_part_that_was_measured_bad_is_defective_with_its_reading():
    (found,) = defects(Job().find_worn().view)
    assert (
        found.fault == "dampers-worn"
        and found.inspection == "Dampers"
        and found.words == "measured, it fails"
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
    assert said.count("Found defective: ") == 1 and "(measured" in said


def test_what_was_repaired_is_defective_no_more():
    job = Job().find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    if job.state.goal:
        job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED))
    assert [r.outcome for r in job.state.repairs] == [RepairOutcome.FITTED]
    assert defects(job.view) == ()


def test_a_reading_that_is_only_watched_shows_no_part_to_be_defective():
    """The same reading, as strong as evidence, but judged 'watch': it speaks in the ranking, and says no more."""
    job = Job().find_worn()
    watched = (
        replace(g, verdict=Verdict.WATCH) if g.verdict is Verdict.FAIL else g
        for g in job.state.answer_records
    )
    assert defects(job.view) and defects(job.view.at(replace(job.state, answer_records=tuple(watched)))) == ()
