"""Whole jobs through the engine, without a screen."""

from __future__ import annotations

from tests.helpers.jobs import Job, good
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.audit import audit
from wizard.engine.guidance.session_ranking import explain, ranking
from wizard.engine.handlers.transaction import Rules
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import from_dict, to_dict
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.queries import next_queries
from wizard.engine.state.fold import fold_all


def worn_job() -> Job:
    """A front loader with worn dampers, found."""
    return Job().find_worn()


def test_worn_dampers_are_found_mended_proved_and_handed_over():
    """The whole way: made safe, search, decision, repair, measured again, hoses, spin, handover, closed as proved."""
    job = worn_job()
    assert ranking(job.view)[0].fault == "dampers-worn"
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert (job.state.job, job.state.outcome) == ("closed", "proved")
    after = [t for t in job.state.reading_records if t.phase == "after" and t.step == "pull"]
    assert len(after) == 18


def test_every_event_of_a_job_is_allowed_by_the_rules():
    """The audit asks the same machines as decide and finds nothing."""
    job = worn_job()
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert audit(Rules.of(good()), job.records) == ()


def test_the_fold_of_the_written_events_is_the_live_state():
    """Written as tables and read back, the events fold to the very same state."""
    job = worn_job()
    job.until(NextKind.CLOSE)
    again = [from_dict(to_dict(r)) for r in job.records]
    assert again == job.records
    assert fold_all(again) == job.state


def test_parts_on_order_close_the_visit_safe_and_a_second_visit_believes_nothing():
    """The machine is left marked and closed; coming back, nothing is taken for safe."""
    job = worn_job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, (PartFitted("damper", 3),)))
    assert next_queries.next_up(job.view).kind == "leave"
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert job.state.outcome == "on-order"
    assert job.refused(c.OpenInspection("dampers")) == "job"
    job.do(c.BeginVisit("R. Vale"))
    assert job.believed("supply") == {"live", "cut", "held", "locked", "left"}
    assert next_queries.next_up(job.view) == next_queries.NextUp(
        NextKind.REPAIR, "dampers-worn", "Confirmed, and not dealt with yet."
    )
    assert job.refused(c.RecordRepair("dampers-worn", RepairOutcome.FITTED)) == "needs"
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert job.state.outcome == "proved"


def test_a_declined_repair_needs_the_risk_told_and_is_closed_as_declined():
    """Nothing is declined without the words that were said."""
    job = worn_job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    assert job.refused(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED)) == "reason"
    job.do(
        c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, reason="Told that the tub mounts wear out.")
    )
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert job.state.outcome == "declined"


def test_a_scorched_plug_stops_work_and_is_closed_once_made_safe():
    """A stop latches what it is for, and closes only when each line is ticked."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("scorched")
    assert (job.state.job, job.state.stops[0].stop) == ("stopped", "scorched")
    assert job.believed("outlet") == {"stopped"}
    assert job.refused(c.OpenInspection("quick")) == "job"
    assert job.refused(c.Close()) == "close"
    for line in range(len(job.flow.stops["scorched"].make_safe)):
        job.do(c.MakeSafe("scorched", line))
    job.do(c.Close())
    assert job.state.outcome == "stopped"


def test_the_usual_machine_has_no_fault():
    """Confirming none closes the job as no fault, once everything is closed up."""
    job = Job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert job.state.outcome == "no-fault"


def test_a_fault_that_forbids_a_spin_can_only_be_left_marked():
    """With the bolts in the spin is refused and the visit ends by leaving the machine."""
    job = Job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("transit-in",)))
    job.do(c.RecordRepair("transit-in", RepairOutcome.DECLINED, reason="Told not to spin."))
    assert job.refused(c.OpenInspection("spin")) == "barred"
    assert next_queries.next_up(job.view).kind == "leave"


def test_after_its_remedy_it_is_looked_at_again():
    """The bolts taken out: they are not believed to be in, nor out before somebody looked."""
    job = Job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("transit-in",)))
    assert job.believed("transit") == {"in"}
    job.fit("transit-in")
    assert job.believed("transit") == {"in", "out"}
    assert "quick.bolts" in job.come_to("spin")


def test_explanations_name_the_findings_for_and_against():
    """The worn dampers stand on the bounce and the pull."""
    job = worn_job()
    told = explain(job.view, "dampers-worn")
    assert {"bounces-on", "pull-weak"} <= {s.finding for s in told.speaks_for}
    assert told.probability > 0.9
