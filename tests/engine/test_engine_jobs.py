"""Whole jobs through the engine, without a screen."""

from __future__ import annotations

import pytest
from jobs import Job, good

from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.audit import audit
from wizard.engine.draft import Rules
from wizard.engine.events import from_dict, to_dict
from wizard.engine.fold import fold_all
from wizard.engine.ranking import explain, ranking
from wizard.engine.session import Session
from wizard.errors import Refused


def worn_job() -> Job:
    """A front loader with worn dampers, found."""
    job = Job()
    job.through("quick")
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.answer("swings")
    job.read(18)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    while job.state.run is not None:
        job.answer()
    return job


def test_worn_dampers_are_found_mended_proved_and_handed_over():
    """The whole way: gate, search, decision, repair, measured again, hoses, spin, handover, closed as proved."""
    job = worn_job()
    assert ranking(job.flow, job.state)[0].fault == "dampers-worn"
    job.until("close")
    assert derive.debts(job.state) == {}
    job.do(c.Close())
    assert (job.state.job, job.state.outcome) == ("closed", "proved")
    after = [t for t in job.state.taken if t.phase == "after" and t.step == "pull"]
    assert len(after) == 18


def test_every_event_of_a_job_is_allowed_by_the_rules():
    """The audit asks the same machines as decide and finds nothing."""
    job = worn_job()
    job.until("close")
    job.do(c.Close())
    assert audit(Rules.of(good()), job.records) == ()


def test_the_fold_of_the_written_events_is_the_live_state():
    """Written as tables and read back, the events fold to the very same state."""
    job = worn_job()
    job.until("close")
    again = [from_dict(to_dict(r)) for r in job.records]
    assert again == job.records
    assert fold_all(again) == job.state


def test_each_entry_into_a_state_asks_its_whole_gate_again():
    """Isolated for the search, again after the proving state, each time with its own run of the gate."""
    job = worn_job()
    job.until("handover")
    job.do(c.Open("dampers", phase="after"))
    assert job.at == "isolate.look"
    gates = [g for g in job.state.gates if g.why == "gate"]
    assert [g.state for g in gates][:1] == ["isolated"]
    assert len({g.run for g in gates}) == len(gates)


def test_parts_on_order_close_the_visit_safe_and_a_second_visit_begins_with_the_gate():
    """The machine is left marked and closed; coming back, nothing is taken for isolated."""
    job = worn_job()
    job.until("decide")
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.Mend("dampers-worn", "on-order", ("damper",)))
    assert derive.next_up(job.flow, job.state).kind == "leave"
    job.until("close")
    assert derive.debts(job.state) == {}
    job.do(c.Close())
    assert job.state.outcome == "on-order"
    assert job.refused(c.Open("dampers")) == "job"
    job.do(c.BeginVisit("R. Vale"))
    job.do(c.NamePerson("M. Oak"))
    assert job.state.safety == "covered"
    assert derive.next_up(job.flow, job.state) == derive.NextUp(
        "repair", "dampers-worn", "Confirmed, and not dealt with yet."
    )
    assert job.refused(c.Mend("dampers-worn", "fitted")) == "gate"
    job.until("close")
    job.do(c.Close())
    assert job.state.outcome == "proved"


def test_a_declined_repair_needs_the_risk_told_and_is_closed_as_declined():
    """Nothing is declined without the words that were said."""
    job = worn_job()
    job.until("decide")
    job.do(c.Confirm(("dampers-worn",)))
    assert job.refused(c.Mend("dampers-worn", "declined")) == "reason"
    job.do(c.Mend("dampers-worn", "declined", reason="Told that the tub mounts wear out."))
    job.until("close")
    job.do(c.Close())
    assert job.state.outcome == "declined"


def test_a_scorched_plug_stops_work_and_is_closed_once_made_safe():
    """A stop leaves its bars, ends every state, and closes only when each line is ticked."""
    job = Job()
    job.do(c.Open("dampers"))
    job.answer("no")
    assert (job.state.job, job.state.safety, job.state.halt.stop) == ("stopped", "stopped", "hot-plug")
    assert "scorched" in derive.bars(job.state)
    assert job.refused(c.Open("quick")) == "job"
    assert job.refused(c.Close()) == "close"
    for line in range(3):
        job.do(c.MakeSafe(line))
    job.do(c.Close())
    assert job.state.outcome == "stopped"


def test_the_usual_machine_has_no_fault():
    """Confirming none closes the job as no fault, once everything is closed up."""
    job = Job()
    job.until("decide")
    job.do(c.Confirm(()))
    job.until("close")
    job.do(c.Close())
    assert job.state.outcome == "no-fault"


def test_a_fault_that_bars_a_spin_can_only_be_left_marked():
    """With the bar standing the spin is refused and the visit ends by leaving the machine."""
    job = Job()
    job.until("decide")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.Mend("transit-in", "declined", reason="Told not to spin."))
    assert job.refused(c.Open("spin")) == "barred"
    assert derive.next_up(job.flow, job.state).kind == "leave"


def test_a_remedy_lifts_its_bar():
    """The bolts taken out, the machine may spin again."""
    job = Job()
    job.until("decide")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.Mend("transit-in", "fitted", reason="seen at the back"))
    assert derive.bars(job.state) == {}


def test_explanations_name_the_findings_for_and_against():
    """The worn dampers stand on the bounce and the pull."""
    job = worn_job()
    told = explain(job.flow, job.state, "dampers-worn")
    assert {"bounces-on", "pull-weak"} <= {s.finding for s in told.speaks_for}
    assert told.probability > 0.9


def test_resume_ends_every_state_and_keeps_the_place():
    """A restart in the middle of the dampers: the same step, but the gate first."""
    job = Job()
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    again = Session.resume(good(), tuple(job.records), job.records.append, job.clock)
    assert again.state.safety == "covered"
    assert again.state.known.state == "isolated"
    run = again.state.run
    with pytest.raises(Refused) as refusal:
        again.do(c.Answer(run.id, run.at, "settles"))
    assert refusal.value.reason == "gate"
    again.do(c.GoOn())
    assert again.state.run.inspection == "isolate"
